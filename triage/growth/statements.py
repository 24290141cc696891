"""What a sentence of an answer states: its matter, its figures, which way, whether it must or must not be."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from triage.growth.figures import Figure, figures
from triage.growth.wordlists import Sign, WordLists
from triage.language import Document, Language
from triage.language.tokens import Token
from triage.model import FactValue
from triage.pack.schema import Answer, AppliesTo
from triage.reply.sentences import blocks, sentences

FactsOf = Callable[[str], Mapping[str, tuple[FactValue, ...]]]  # what a clause is for, read as a question would be
# Facts that say which vehicles a sentence is about; figures of other facts are what it states.
SCOPING = ("powertrain", "make", "model", "pack_voltage", "battery_voltage", "battery_chemistry", "controller", "motor")
_COUNTED = ("opposite", "apart", "modal", "hedge", "plain", "bound", "about")  # kinds whose words are no matter


@dataclass(frozen=True, slots=True)
class Named:
    """A part as a sentence names it: its matter, and the word just before, as in "a leaking fuel pump"."""

    keys: frozenset[str]
    before: str


@dataclass(frozen=True, slots=True)
class Statement:
    """One sentence as it is compared with another."""

    text: str
    matter: frozenset[str] = frozenset()  # folded words that tell what it is about, parts by their own name
    main: frozenset[str] = frozenset()  # the matter outside "if ...", "with ..."
    parts: Mapping[str, Named] = field(default_factory=dict)
    sides: Mapping[str, int] = field(default_factory=dict)  # pair of opposites -> 1 or -1
    given: Mapping[str, int] = field(default_factory=dict)  # the same within "if ...", "when ..."
    pairs: frozenset[str] = frozenset()  # of which either side, or both, is told
    circumstances: Mapping[str, int] = field(default_factory=dict)
    figures: tuple[Figure, ...] = ()
    classes: frozenset[float] = frozenset()  # nominal voltages that only say which pack or battery is meant
    modal: str = ""  # "must" | "may" | "must_not" | "need_not"; "" for a plain statement
    hedged: bool = False
    claims: bool = False  # says what something is, or what is done in a case: one part rules out another
    actions: frozenset[str] = frozenset()  # of the matter: check, replace ...
    scope: Mapping[str, tuple[FactValue, ...]] = field(default_factory=dict)


class Reader:
    """Reads sentences of answers; compiled once per pack."""

    def __init__(self, language: Language, lists: WordLists, facts_of: FactsOf, nominal: Iterable[float]) -> None:
        self._language = language
        self._lists = lists
        self._facts_of = facts_of
        self._nominal = frozenset(nominal)
        self._read: dict[tuple[str, str], Statement] = {}

    def of_answer(self, answer: Answer) -> Iterator[Statement]:
        """Every sentence of an answer; those of a branch are for what its condition is for."""
        for block in blocks(answer.text):
            for text in sentences(block.text):
                whole = self.read(text, block.condition)
                parts = clauses(text) if len(whole.figures) > 1 else []
                every = (whole, *(replace(self.read(part, block.condition), text=text) for part in parts))
                yield from (_of_range(one, answer.applies_to) for one in every)

    def read(self, text: str, condition: str = "") -> Statement:
        """One sentence; `condition` is what the branch it stands in is for. What was read once is kept."""
        known = self._read.get((text, condition))
        if known is None:
            known = self._read[text, condition] = self._statement(text, condition)
        return known

    def _statement(self, text: str, condition: str) -> Statement:
        document = self._language.annotate(text)
        found = self._lists.find(document.tokens)
        told = figures(document.tokens, found, self._lists)
        named = _part_keys(document)
        signs = [one for one in found if one.first not in named and not any(_within(one, figure) for figure in told)]
        classes = [one for one in told if one.unit == "volt" and one.low == one.high and one.low in self._nominal]
        given = frozenset(_condition(document.tokens))
        return Statement(
            text,
            _matter(document, signs, told) | _markers(signs, classes, self._lists),
            _matter(document, signs, told, given),
            _compounds(document),
            _sides(document.tokens, (sign for sign in signs if sign.first not in given)),
            _sides(document.tokens, (sign for sign in signs if sign.first in given)) | _case(signs, given),
            frozenset(sign.key for sign in signs if sign.kind == "opposite"),
            self._lists.assumed | _circumstances(signs),
            tuple(one for one in told if one not in classes),
            frozenset(one.low for one in classes),
            _modal(sign for sign in signs if sign.first not in given),
            any(sign.kind == "hedge" for sign in signs),
            any(sign.kind == "claim" for sign in signs),
            frozenset(sign.key for sign in signs if sign.kind == "same"),
            self._scope(text) | (self._scope(condition) if condition else {}),
        )

    def _scope(self, text: str) -> dict[str, tuple[FactValue, ...]]:
        facts = {name: values for name, values in self._facts_of(text).items() if name in SCOPING}
        for name in ("pack_voltage", "battery_voltage"):
            values = tuple(value for value in facts.pop(name, ()) if value in self._nominal)
            if values:
                facts[name] = values
        return facts


def _of_range(one: Statement, to: AppliesTo) -> Statement:
    """What a sentence does not tell of its vehicles, its answer's range does."""
    ranged: dict[str, tuple[FactValue, ...]] = {
        "powertrain": (to.powertrain,) if to.powertrain else (),
        "make": tuple(to.makes),
        "model": tuple(to.models),
        "pack_voltage": tuple(to.voltages),
        "battery_chemistry": tuple(to.chemistries),
    }
    scope = {name: values for name, values in ranged.items() if values} | dict(one.scope)
    return replace(one, scope=scope, classes=one.classes or frozenset(to.voltages))


_JOINT = re.compile(r"(?:,|;)\s+(?:and\s+|but\s+)?|\s+and\s+")


def clauses(text: str) -> list[str]:
    """Clauses that each tell a figure, with the condition they share; none where the figures belong together.

    >>> clauses("If it is a 36 V pack: 38.0 V is full, 36.7 V is half.")
    ['If it is a 36 V pack: 38.0 V is full', 'If it is a 36 V pack: 36.7 V is half.']
    """
    lead, colon, rest = text.partition(": ") if re.match(r"if\b[^:]{3,120}: ", text, re.IGNORECASE) else ("", "", text)
    parts = _JOINT.split(rest)
    telling = len(parts) > 1 and all(re.search(r"\d", part) and len(part.split()) > 3 for part in parts)
    return [f"{lead}{colon}{part}" for part in parts] if telling else []


def _within(sign: Sign, figure: Figure) -> bool:
    return figure.first <= sign.first and sign.last <= figure.last


def _compounds(document: Document) -> dict[str, Named]:
    """Parts named, the longest name where several do; names side by side are one part, "axle" + "bearing"."""
    keys = _part_keys(document)
    names: dict[str, Named] = {}
    run: list[int] = []
    for index in [*sorted(keys), -1]:
        if run and index != run[-1] + 1:
            name = " ".join(dict.fromkeys(keys[i][-1] for i in run))
            names[name] = Named(frozenset(key for i in run for key in keys[i]), document.stems[max(run[0] - 1, 0)])
            run = []
        run.append(index)
    return names


def _part_keys(document: Document) -> dict[int, list[str]]:
    """Token -> the parts it is of a name of, the longest name last: "engine" of "engine oil" is of both."""
    keys: dict[int, list[str]] = {}
    for mention in sorted(document.of_kind("part"), key=lambda mention: mention.last - mention.first):
        for index in range(mention.first, mention.last):
            keys.setdefault(index, []).append(_ONE.get(mention.entry.key, mention.entry.key))
    return keys


_ONE = {"battery pack": "battery"}  # what is said of the pack is said of the batteries


def _markers(signs: Iterable[Sign], classes: Iterable[Figure], lists: WordLists) -> frozenset[str]:
    """Circumstances and nominal voltages are matter too: "a full 48 V set" has no other."""
    told = {f"{group} {side}" for group, side in _circumstances(signs).items() if group in lists.matter}
    return frozenset(told | {f"{one.low:g} V" for one in classes})


def _matter(
    document: Document, signs: Sequence[Sign], told: Sequence[Figure], without: frozenset[int] = frozenset()
) -> frozenset[str]:
    """Folded words, and parts by their own names; tokens `without` are left out."""
    parts = {index: set(keys) for index, keys in _part_keys(document).items()}
    aside = {i for sign in signs if sign.kind in _COUNTED for i in range(sign.first, sign.last)}
    aside |= {i for figure in told for i in range(figure.first, figure.last)}
    same = {i: {sign.key} for sign in signs if sign.kind == "same" for i in range(sign.first, sign.last)}
    words: set[str] = set()
    for i, token in enumerate(document.tokens):
        if i in without:
            continue
        plain = {token.stem} if token.is_word and i not in aside else set()
        words |= parts.get(i) or same.get(i) or plain
    return frozenset(words)


_CONDITIONS = frozenset({"if", "when", "whenever", "unless", "while", "where"})


def _case(signs: Iterable[Sign], given: frozenset[int]) -> dict[str, int]:
    """Whether the condition is that something is so, or is not so."""
    denied = any(sign.kind == "modal" and sign.key == "must_not" and sign.first in given for sign in signs)
    return {"so": -1 if denied else 1} if given else {}


def _condition(tokens: Sequence[Token]) -> Iterator[int]:
    """Tokens within "if ...", "when ...": up to a comma or colon, else to the end of the sentence.

    "With ..." is one at the beginning; later it tells how.
    """
    inside = False
    for index, token in enumerate(tokens):
        begins = token.norm in _CONDITIONS or (token.norm == "with" and index == 0)
        inside = begins or (inside and token.text not in ",:")
        if inside:
            yield index


def _sides(tokens: Sequence[Token], signs: Iterable[Sign]) -> dict[str, int]:
    """Pairs of which only one side is told; where both are, what stands in capitals as on a switch counts."""
    told: dict[str, set[tuple[int, bool]]] = {}
    for sign in signs:
        if sign.kind == "opposite":
            labelled = all(len(token.text) > 1 and token.text.isupper() for token in tokens[sign.first : sign.last])
            told.setdefault(sign.key, set()).add((sign.side, labelled))
    return {pair: side for pair, sides in told.items() if (side := _one_side(sides))}


def _one_side(told: set[tuple[int, bool]]) -> int:
    sides = {side for side, _ in told}
    labelled = {side for side, label in told if label}
    return sides.pop() if len(sides) == 1 else labelled.pop() if len(labelled) == 1 else 0


def _circumstances(signs: Iterable[Sign]) -> dict[str, int]:
    """Circumstance -> 1 when it is this one, -1 another, 0 both."""
    told: dict[str, int] = {}
    for sign in signs:
        if sign.kind == "apart":
            told[sign.key] = sign.side if told.get(sign.key, sign.side) == sign.side else 0
    return told


_STRONGEST = ("need_not", "must_not", "must", "may")


def _modal(signs: Iterable[Sign]) -> str:
    told = {sign.key for sign in signs if sign.kind == "modal"}
    return next((modal for modal in _STRONGEST if modal in told), "")

"""A sentence to one asker as a sentence to all: persons, this asker's readings and this one vehicle's name out."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from triage.growth.material import Material, Piece
from triage.growth.proposal import Line
from triage.growth.wordlists import WordLists
from triage.language import Language
from triage.language.private import Particulars, without_particulars
from triage.model import Fact, Span, Standing

FactsIn = Callable[[str], Sequence[Fact]]
NAMING = ("make", "model", "year")  # facts that name a vehicle
_BETWEEN = re.compile(r"[\s,/-]*")
_BEFORE = re.compile(r"\b(your|the|a|an|my|this|that)\s+$", re.IGNORECASE)
_AFTER = re.compile(r"\s+(?:cart|buggy|vehicle)\b", re.IGNORECASE)
_BRANCH = re.compile(
    r"^(?P<if>if|when|where)\s+(?P<condition>[^:,]{3,110})(?:,\s*(?:then\s+)?|:\s*)(?P<rest>.+)$", re.I | re.S
)
_LEAD_INS = re.compile(
    r"^(?:(?:[Tt]old|[Ss]aid to|[Ee]xplained to|[Rr]ang|[Pp]honed)\b[^:.]{0,40}:|[A-Z][\w’']+ here\b[\s,.:–-]*)\s*"
)
_OPENERS = re.compile(
    r"^(?:so|well|also|then|and|but|ok|okay|right|anyway|actually|basically|in short)\b[,:]?\s+", re.I
)


@dataclass(frozen=True)
class Lifter:
    """Takes the particulars of one asker out of sentences. `facts_in` reads the facts of a text."""

    language: Language
    lists: WordLists
    facts_in: FactsIn
    trade: Particulars = field(default_factory=Particulars)  # what must stay of any text

    def general(self, text: str, material: Material, *, naming: bool) -> str:
        """The text without persons; with `naming`, the vehicle keeps its name."""
        names, numbers = (tuple(filter(None, told)) for told in (material.names, material.numbers))
        known = replace(self.trade, names=names, numbers=numbers)
        plain = without_particulars(_OPENERS.sub("", _LEAD_INS.sub("", text.strip())), known)
        return _tidy(plain if naming else self._without_vehicle(plain, material))

    def tells_of_one(self, text: str, material: Material) -> bool:
        """A sentence about what this asker measured: "your third one at 5.1 V is the bad one"."""
        words = {token.norm for token in self.language.annotate(text).tokens}
        if words.isdisjoint({"your", "you", "yours", "youve", "yr"}):
            return False
        told = {(round(q.value, 3), q.unit) for q in self.language.annotate(text).quantities}
        return any((round(value, 3), unit) in told for value, unit in material.readings)

    def names_vehicle(self, text: str, material: Material) -> frozenset[str]:
        """Which naming facts of the asker's vehicle a sentence tells: its make, its model, its year."""
        return frozenset(fact.name for fact in self._naming(text, material.facts))

    def _naming(self, text: str, facts: Mapping[str, Fact]) -> list[Fact]:
        found = (f for f in self.facts_in(text) if f.name in NAMING and f.span and f.standing is not Standing.INFERRED)
        own = [f for f in found if f.name in facts and _same(f, facts[f.name])]
        return sorted(own, key=lambda fact: fact.span.start if fact.span else 0)

    def _without_vehicle(self, text: str, material: Material) -> str:
        for span in reversed(_runs(text, [f.span for f in self._naming(text, material.facts) if f.span])):
            before, after = text[: span.start], text[span.end :]
            article = _BEFORE.search(before)
            name = self.lists.wording("your_vehicle" if article and article[1].lower() == "your" else "the_vehicle")
            before = before[: article.start()] if article else before
            text = f"{before}{name}{_AFTER.sub('', after, count=1) if _AFTER.match(after) else after}"
        return text


def _same(one: Fact, other: Fact) -> bool:
    mine, theirs = str(one.value).casefold(), str(other.value).casefold()
    return mine == theirs or theirs.startswith(mine) or mine.startswith(theirs)


def _runs(text: str, spans: Sequence[Span]) -> list[Span]:
    """Spans with nothing but blanks between them as one: "2008" + "Lark" + "48"."""
    runs: list[Span] = []
    for span in spans:
        if runs and (span.start <= runs[-1].end or _BETWEEN.fullmatch(text[runs[-1].end : span.start])):
            runs[-1] = Span(runs[-1].start, max(span.end, runs[-1].end))
        else:
            runs.append(span)
    return runs


def _tidy(text: str) -> str:
    plain = re.sub(r"\s+([,.;:!?])", r"\1", " ".join(text.split())).strip(" ,;-")
    return plain[:1].upper() + plain[1:]


def as_branch(text: str) -> str:
    """ "If it clicks, test the coil." as a branch of an answer, "If it clicks: test the coil."; "" when it is none."""
    found = _BRANCH.match(text)
    if not found:
        return ""
    rest = found["rest"]
    first = rest[0].lower() if rest[1:2].islower() and not rest.startswith("I ") else rest[0]
    return f"If {found['condition'].strip()}: {first}{rest[1:]}"


def lines_of(kept: Sequence[Piece], lifter: Lifter, material: Material, naming: bool) -> tuple[Line, ...]:
    """Each sentence in general words, with where it was said; the same sentence is told once."""
    lines: dict[str, Line] = {}
    for piece in kept:
        text = lifter.general(piece.text, material, naming=naming)
        if piece.source.startswith("check:") or len(text.split()) < 3:
            continue
        shown = as_branch(text) or text
        lines.setdefault(shown.casefold(), Line(shown, (piece.said,)))
    return tuple(lines.values())

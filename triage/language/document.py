"""A text annotated once for all stages: tokens, phrases of the pack, quantities, scopes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from triage.language.numbers import Quantity, Units, find_quantities
from triage.language.phrases import Found, PhraseTrie
from triage.language.scopes import Cue, Scopes
from triage.language.spelling import Spelling
from triage.language.tokens import Token, tokenise
from triage.model import Span
from triage.pack.words import Words


@dataclass(frozen=True, slots=True)
class Entry:
    """What a phrase of the pack stands for: kind ("part", "value", "cue" ...), key and value."""

    kind: str
    key: str
    value: str = ""


@dataclass(frozen=True, slots=True)
class Mention:
    """A phrase of the pack found at tokens first..last (half open)."""

    entry: Entry
    first: int
    last: int


class Document:
    """One text with its tokens and everything found in it."""

    def __init__(self, text: str, tokens: tuple[Token, ...], language: Language) -> None:
        self.text = text
        self.tokens = tokens
        self._language = language

    @cached_property
    def stems(self) -> list[str]:
        """Folded form of each token."""
        return [token.stem for token in self.tokens]

    @cached_property
    def mentions(self) -> tuple[Mention, ...]:
        """Phrases of the pack, longest per kind: a shorter one inside a longer of the same kind is dropped."""
        found = [Mention(item.payload, item.first, item.last) for item in self._language.find(self.stems)]
        return tuple(_longest_per_kind(found))

    def of_kind(self, kind: str) -> list[Mention]:
        """Mentions of one kind, in order."""
        return [mention for mention in self.mentions if mention.entry.kind == kind]

    @cached_property
    def quantities(self) -> list[Quantity]:
        """Numbers with their units."""
        return find_quantities(self.tokens, self._language.units)

    @cached_property
    def scopes(self) -> Scopes:
        """What governs each stretch of the text."""
        cues = [Cue(m.entry.key, m.entry.value, m.first, m.last) for m in self.of_kind("cue")]
        return Scopes(self.tokens, cues)

    @cached_property
    def forms(self) -> list[frozenset[str]]:
        """The stems each token may stand for: its own, and those of the part it is a name of."""
        forms = [frozenset((stem,)) for stem in self.stems]
        for mention in self.of_kind("part"):
            extra = self._language.part_stems(mention.entry.key)
            for index in range(mention.first, mention.last):
                forms[index] |= extra
        return forms

    def span(self, first: int, last: int) -> Span:
        """Character range of tokens first..last (half open)."""
        return Span(self.tokens[first].start, self.tokens[last - 1].end)

    def words(self, first: int, last: int) -> str:
        """The asker's own words at tokens first..last (half open)."""
        span = self.span(first, last)
        return self.text[span.start : span.end]

    @cached_property
    def sentences(self) -> tuple[Span, ...]:
        """Character ranges of the sentences."""
        ends: dict[int, tuple[int, int]] = {}
        for token in self.tokens:
            start, _ = ends.get(token.sentence, (token.start, 0))
            ends[token.sentence] = (start, token.end)
        return tuple(Span(start, end) for start, end in ends.values())


class Language:
    """The pack's words, compiled."""

    def __init__(self, words: Words, names: Iterable[tuple[str, Entry]] = (), more: Iterable[str] = ()) -> None:
        self.units = Units(words.units)
        self._trie: PhraseTrie[Entry] = PhraseTrie()
        names = list(names)
        phrases = [*_entries(words), *names]
        for phrase, entry in phrases:
            self._trie.add(phrase, entry, same=_same_meaning)
        self._part_stems = {part: frozenset(token.stem for token in tokenise(part)) for part in words.parts}
        self.spelling = Spelling(
            vocabulary={word for phrase, _ in phrases for word in _words(phrase)}
            | {w for text in more for w in _words(text)},
            typos=words.typos,
            names={word for phrase, _ in names for word in _words(phrase)},
        )
        self._multi = {wrong for wrong, right in words.typos.items() if " " in right}

    def annotate(self, text: str) -> Document:
        """Read a text once; the parts of the document are worked out when first asked for."""
        return Document(text, tokenise(text, _Mender(self.spelling)), self)

    def find(self, stems: list[str]) -> Iterator[Found[Entry]]:
        """Every phrase of the pack."""
        return self._trie.find(stems)

    def part_stems(self, part: str) -> frozenset[str]:
        """The folded words of a part's canonical name."""
        return self._part_stems.get(part, frozenset())


class _Mender(dict[str, str]):
    """Looks like a table of typos; asks the spelling for words it has not met."""

    def __init__(self, spelling: Spelling) -> None:
        super().__init__()
        self._spelling = spelling

    def get(self, key: str, default: str | None = None) -> str:  # type: ignore[override]
        return self._spelling.mend(key)

    def __bool__(self) -> bool:
        return True


def _entries(words: Words) -> Iterator[tuple[str, Entry]]:
    for fact, values in words.values.items():
        yield from _listed("value", fact, values)
    for index, implication in enumerate(words.implies):
        for phrase in implication.phrases:
            yield phrase, Entry("implies", str(index), phrase)
        for phrase in implication.unless:
            yield phrase, Entry("unless", str(index), phrase)
    for kind, groups in (
        ("part", words.parts),
        ("work", words.work),
        ("outcome", words.outcomes),
        ("intent", words.intents),
        ("modification", words.modifications),
        ("use", words.uses),
        ("cue", words.cues),
    ):
        for key, phrases in groups.items():
            for phrase in phrases:
                yield phrase, Entry(kind, key, phrase)


def _same_meaning(a: Entry, b: Entry) -> bool:
    by_value = a.kind in ("value", "name")
    return a.kind == b.kind and a.key == b.key and (a.value == b.value or not by_value)


def _listed(kind: str, key: str, values: dict[str, list[str]]) -> Iterator[tuple[str, Entry]]:
    for value, phrases in values.items():
        for phrase in phrases:
            yield phrase, Entry(kind, key, value)


def _words(phrase: str) -> set[str]:
    return {token.norm for token in tokenise(phrase) if token.is_word}


def _longest_per_kind(found: list[Mention]) -> Iterator[Mention]:
    """Drop a mention that lies inside a longer one of its kind (cues: of the same key)."""
    longest: dict[tuple[str, str], Mention] = {}
    for mention in sorted(found, key=lambda m: (m.first, -m.last)):
        group = (
            mention.entry.kind,
            mention.entry.key if mention.entry.kind in ("cue", "implies", "unless") else "",
        )
        outer = longest.get(group)
        if outer and mention.last <= outer.last and mention.first > outer.first:
            continue
        if outer and mention.last < outer.last:
            continue
        longest[group] = mention
        yield mention

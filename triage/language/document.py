"""A text annotated once for all stages: tokens, phrases of the pack, quantities, scopes."""

from __future__ import annotations

import itertools
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from triage.language.cues import Cue
from triage.language.entries import Entry, entries, same_meaning
from triage.language.numbers import WORD_VALUES
from triage.language.phrases import Found, PhraseTrie
from triage.language.quantities import Quantity, find_quantities
from triage.language.scopes import Scopes
from triage.language.spelling import Spelling
from triage.language.tokens import Token, tokenise
from triage.language.units import Units
from triage.model import Span
from triage.pack.words import Words

LONGEST_PHRASE = 10  # words
_AS_LISTED = frozenset({"work", "done"})  # kinds all of whose words count only as listed: "bolts on" is not "bolted on"
_EXACT = frozenset({"cue", "value", "work", "modification"})  # kinds whose single words count only as listed


@dataclass(frozen=True, slots=True)
class Mention:
    """A phrase of the pack found at tokens first..last (half open)."""

    entry: Entry
    first: int
    last: int


class Document:
    """One text with its tokens and everything found in it."""

    def __init__(
        self, text: str, tokens: tuple[Token, ...], language: Language, names: tuple[Mention, ...] = ()
    ) -> None:
        self.text = text
        self.tokens = tokens
        self._language = language
        self._names = names  # of vehicles that the pack does not list

    def with_names(self, names: Iterable[Mention]) -> Document:
        """The same text, in which these are names as well: what stands beside a name is then read the same way."""
        return Document(self.text, self.tokens, self._language, (*self._names, *names))

    @cached_property
    def stems(self) -> list[str]:
        """Folded form of each token."""
        return [token.stem for token in self.tokens]

    @cached_property
    def mentions(self) -> tuple[Mention, ...]:
        """Phrases of the pack, longest per kind: a shorter one inside a longer of the same kind is dropped."""
        found = [Mention(item.payload, item.first, item.last) for item in self._language.find(self.stems)]
        exact = [mention if self._is_exact(mention) else _inflected(mention) for mention in found]
        return tuple(_longest_per_kind([mention for mention in exact if mention]))

    def _is_exact(self, mention: Mention) -> bool:
        """Some words count only as listed: "the rest" is not "resting", "I lift" is not "I lifted"."""
        kind, words = mention.entry.kind, self.tokens[mention.first : mention.last]
        exact = kind in _AS_LISTED or (len(words) == 1 and kind in _EXACT)
        return not exact or self._language.lists(mention.entry, " ".join(token.norm for token in words))

    @cached_property
    def _by_kind(self) -> dict[str, list[Mention]]:
        found: dict[str, list[Mention]] = {}
        for mention in self.mentions:
            found.setdefault(mention.entry.kind, []).append(mention)
        if self._names:
            found["name"] = sorted([*found.get("name", ()), *self._names], key=lambda m: (m.first, m.last))
        for kind in ("part", "value", "modification"):
            hidden = {i for m in found.get("cue", ()) if m.entry.key == f"not_a_{kind}" for i in range(m.first, m.last)}
            if hidden and kind in found:
                found[kind] = [m for m in found[kind] if not hidden.issuperset(range(m.first, m.last))]
        return found

    @cached_property
    def _starts(self) -> dict[str, list[int]]:
        return {kind: [mention.first for mention in found] for kind, found in self._by_kind.items()}

    def of_kind(self, kind: str) -> Sequence[Mention]:
        """Mentions of one kind, in order."""
        return self._by_kind.get(kind, ())

    def between(self, kind: str, low: int, high: int) -> Sequence[Mention]:
        """Mentions of one kind that start at tokens low..high (both included), in order."""
        starts = self._starts.get(kind)
        return self._by_kind[kind][bisect_left(starts, low) : bisect_right(starts, high)] if starts else ()

    def before(self, kind: str, index: int, reach: int) -> list[Mention]:
        """Mentions of one kind that end at most `reach` words before the token, in order."""
        near = self.between(kind, index - reach - LONGEST_PHRASE, index - 1)
        return [mention for mention in near if 0 <= index - mention.last <= reach]

    @cached_property
    def quantities(self) -> list[Quantity]:
        """Numbers with their units."""
        return find_quantities(self.tokens, self._language.units)

    @cached_property
    def _quantity_starts(self) -> list[int]:
        return [quantity.first for quantity in self.quantities]

    def quantities_from(self, index: int, reach: int) -> Sequence[Quantity]:
        """Quantities that start at the token or at most `reach` words later."""
        starts = self._quantity_starts
        return self.quantities[bisect_left(starts, index) : bisect_right(starts, index + reach)]

    @cached_property
    def scopes(self) -> Scopes:
        """What governs each stretch of the text."""
        cues = (Cue(m.entry.key, m.entry.value, m.first, m.last) for m in self.of_kind("cue"))
        return Scopes(self.tokens, list(cues))

    @cached_property
    def forms(self) -> list[frozenset[str]]:
        """The stems each token may stand for: its own, and those of the part it is a name of."""
        forms = [frozenset((stem,)) for stem in self.stems]
        for mention in self.of_kind("part"):
            extra = self._language.part_stems(mention.entry.key)
            for index in range(mention.first, mention.last):
                forms[index] |= extra
        return forms

    def norm(self, index: int) -> str:
        """The word at a token, lower case; "" outside the text."""
        return self.tokens[index].norm if 0 <= index < len(self.tokens) else ""

    def same_sentence(self, a: int, b: int) -> bool:
        """Both tokens stand in one sentence."""
        return self.tokens[a].sentence == self.tokens[b].sentence

    def same_clause(self, a: int, b: int) -> bool:
        """Both tokens stand in one clause."""
        return self.tokens[a].clause == self.tokens[b].clause

    @cached_property
    def _token_starts(self) -> list[int]:
        return [token.start for token in self.tokens]

    def token_range(self, start: int, end: int) -> tuple[int, int]:
        """Tokens first..last (half open) within a range of characters; (0, 0) when there are none."""
        first, last = bisect_left(self._token_starts, start), bisect_left(self._token_starts, end)
        while last > first and self.tokens[last - 1].end > end:
            last -= 1
        return (first, last) if last > first else (0, 0)

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
        phrases = [*entries(words), *names]
        for phrase, entry in phrases:
            self._trie.add(phrase, entry, same=same_meaning)
        self._exact = {(e.kind, e.key, phrase) for phrase, e in phrases if e.kind in _AS_LISTED or " " not in phrase}
        self._part_stems = {part: frozenset(token.stem for token in tokenise(part)) for part in words.parts}
        self.spelling = Spelling(
            vocabulary={word for phrase, _ in phrases for word in _words(phrase)}
            | {w for text in (*more, *itertools.chain(*words.units.values())) for w in _words(text)}
            | set(WORD_VALUES)
            | {*words.spelling, *words.spelling.values()},
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

    def lists(self, entry: Entry, words: str) -> bool:
        """True when the words themselves stand in the pack under this entry's key."""
        return (entry.kind, entry.key, words) in self._exact

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


def _inflected(mention: Mention) -> Mention | None:
    """Another form of a word of work ("I change" beside "changed") is kept apart; of other kinds it does not count."""
    entry = mention.entry
    return (
        Mention(Entry("work_bare", entry.key, entry.value), mention.first, mention.last)
        if entry.kind == "work"
        else None
    )


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

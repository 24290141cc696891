"""The growth words of the pack, compiled: phrases to find, and units by which figures are compared."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from triage.language.phrases import PhraseTrie
from triage.language.tokens import Token, tokenise
from triage.language.units import Units
from triage.pack.schema import GrowthWords


@dataclass(frozen=True, slots=True)
class Sign:
    """A phrase of the growth words at tokens first..last (half open); `side` is 1 or -1 of an opposite."""

    kind: str
    key: str
    side: int
    words: str
    first: int
    last: int


class WordLists:
    """Finds the growth words in a text; compiled once per pack."""

    def __init__(self, records: Iterable[GrowthWords], units: Mapping[str, Sequence[str]]) -> None:
        self._records = {record.id: record for record in records}
        self._trie: PhraseTrie[tuple[str, str, int, str]] = PhraseTrie()
        for record in self.of("opposite", "apart", "modal", "hedge", "plain", "same", "bound", "about", "claim"):
            self._add(record, record.words, 1)
            self._add(record, record.other, -1)
        own = {record.id: [*record.words] for record in self.of("unit")}
        told = {symbol: [*spellings] for symbol, spellings in units.items()}
        self._unit_ids = {symbol: name for name, symbols in own.items() for symbol in symbols if symbol in told}
        self.units = Units(told | {name: words for name, words in own.items() if not told.keys() & {*words}})

    def _add(self, record: GrowthWords, phrases: Iterable[str], side: int) -> None:
        for phrase in phrases:
            self._trie.add(phrase, (record.kind, record.id, side, phrase))

    def of(self, *kinds: str) -> Iterator[GrowthWords]:
        """The records of these kinds, in the pack's order."""
        return (record for record in self._records.values() if record.kind in kinds)

    def find(self, tokens: Sequence[Token]) -> list[Sign]:
        """Every growth phrase as it is written or inflected; of two of one kind, one inside the other, the longer."""
        stems = [token.stem for token in tokens]
        found = [Sign(*item.payload, item.first, item.last) for item in self._trie.find(stems)]
        same = {i for sign in found if sign.kind == "same" for i in range(sign.first, sign.last)}
        limits = {i for sign in found if sign.kind == "bound" for i in range(sign.first, sign.last)}
        hidden = {"bound": same, "opposite": limits}  # "done up | to 35"; "no less than"
        clear = [sign for sign in found if sign.first not in hidden.get(sign.kind, ())]
        return [sign for sign in clear if not any(_inside(sign, other) for other in clear)]

    def unit(self, symbol: str) -> GrowthWords | None:
        """The record of a unit as it was read; None for one that is not compared."""
        return self._records.get(self._unit_ids.get(symbol, symbol))

    def wording(self, name: str) -> str:
        """A text of proposals. Raises KeyError for one the pack lacks."""
        return self._records[name].words[0]

    @cached_property
    def assumed(self) -> dict[str, int]:
        """Circumstances that a sentence is understood to be of where it does not tell."""
        return {record.id: 1 for record in self.of("apart") if record.assumed}

    @cached_property
    def matter(self) -> frozenset[str]:
        """Circumstances that are part of what a sentence is about."""
        return frozenset(record.id for record in self.of("apart") if record.matter)

    @cached_property
    def asides(self) -> tuple[tuple[str, ...], ...]:
        """Phrases of sentences that are not about the matter, as folded words."""
        return tuple(stems_of(phrase) for record in self.of("aside") for phrase in record.words)


def stems_of(phrase: str) -> tuple[str, ...]:
    """The folded words of a phrase."""
    return tuple(token.stem for token in tokenise(phrase) if token.kind != "mark")


def _inside(sign: Sign, other: Sign) -> bool:
    wider = other.last - other.first > sign.last - sign.first
    return wider and other.kind == sign.kind and other.first <= sign.first and sign.last <= other.last

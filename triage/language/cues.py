"""Cue phrases found in a text, indexed by kind and place."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

_LONGEST = 8  # words of the longest cue phrase, with room to spare


@dataclass(frozen=True, slots=True)
class Cue:
    """A cue phrase at tokens first..last (half open)."""

    kind: str
    phrase: str
    first: int
    last: int


class CueIndex:
    """Finds cues near a place without looking at all of them."""

    def __init__(self, cues: Iterable[Cue]) -> None:
        self._cues: dict[str, list[Cue]] = {}
        for cue in cues:
            self._cues.setdefault(cue.kind, []).append(cue)
        self._firsts = {kind: [cue.first for cue in found] for kind, found in self._cues.items()}

    def of_kind(self, kind: str) -> Sequence[Cue]:
        """All cues of a kind, in order."""
        return self._cues.get(kind, ())

    def between(self, kind: str, low: int, high: int) -> Iterator[Cue]:
        """Cues of a kind that start at low..high (both included)."""
        firsts = self._firsts.get(kind)
        if firsts:
            yield from self._cues[kind][bisect_left(firsts, low) : bisect_right(firsts, high)]

    def ending(self, kind: str, index: int, reach: int) -> Iterator[Cue]:
        """Cues of a kind that end at most `reach` words before the token."""
        for cue in self.between(kind, index - reach - _LONGEST, index - 1):
            if 0 <= index - cue.last <= reach:
                yield cue

    def starting(self, kind: str, index: int, reach: int) -> Iterator[Cue]:
        """Cues of a kind that start at most `reach` words after the token."""
        return self.between(kind, index, index + reach)

    def covers(self, kind: str, cue: Cue) -> bool:
        """True when a cue of the kind holds this one: "not sure" holds "not"."""
        near = self.between(kind, cue.first - _LONGEST, cue.first)
        return any(cue.last <= other.last for other in near)

"""A piece as the words it holds: known words and pairs of neighbours, rare ones counting more."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Stems = Sequence[str]
Rows = NDArray[np.float32]
FEWEST_WORD = 2  # pieces that must hold a word, or a pair of neighbours, for it to be known
FEWEST_PAIR = 5


@dataclass(frozen=True)
class WordBag:
    """The known words, and how rare each is: log of the share of pieces that hold it, negated (idf)."""

    words: tuple[str, ...]
    rarity: Rows  # (words,)

    @classmethod
    def learn(cls, pieces: Sequence[Stems], most: int) -> WordBag:
        """The commonest words of the pieces, `most` at most."""
        counts = Counter(word for stems in pieces for word in set(_grams(stems)))
        known = [(n, word) for word, n in counts.items() if n >= (FEWEST_PAIR if " " in word else FEWEST_WORD)]
        kept = sorted(known, key=lambda item: (-item[0], item[1]))[:most]
        rarity = np.array([np.log(len(pieces) / n) for n, _ in kept], np.float32)
        return cls(tuple(word for _, word in kept), rarity)

    @cached_property
    def _places(self) -> Mapping[str, int]:
        return {word: place for place, word in enumerate(self.words)}

    def rows(self, pieces: Sequence[Stems]) -> Rows:
        """Unit rows, one a piece (all zero where no word is known), shape (pieces, words)."""
        rows = np.zeros((len(pieces), len(self.words)), np.float32)
        for row, stems in zip(rows, pieces, strict=True):
            held = [place for gram in _grams(stems) if (place := self._places.get(gram)) is not None]
            row[held] = self.rarity[held]
        lengths = np.linalg.norm(rows, axis=1, keepdims=True)
        result: Rows = rows / np.maximum(lengths, 1e-6)
        return result


def _grams(stems: Stems) -> Iterator[str]:
    yield from stems
    yield from (f"{one} {next_one}" for one, next_one in pairwise(stems))

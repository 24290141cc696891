"""Likeness in spelling: shared runs of four letters, so that slips, inflections and joined words still meet.

Cosine of tf-idf over character 4-grams within words, sublinear counts and smoothed idf, as in scikit-learn's
`TfidfVectorizer(analyzer="char_wb", ngram_range=(4, 4), sublinear_tf=True)`, which the tests hold it against; but a
gram that no answer has counts as the rarest, where scikit-learn leaves it out, and words of one letter are left out.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

BINS = 1 << 16  # grams are hashed into so many; an answer has about a thousand
KEPT = 4_096  # answers whose grams are kept; a larger base counts them anew when they are looked at
_MIX = np.uint32(2654435761)  # Knuth's multiplier, 2**32 / golden ratio: spreads the codes over the bins
_PLACES = np.array([1, 1 << 8, 1 << 16, 1 << 24], np.uint32)
_SPACE = ord(" ")
Floats = NDArray[np.float64]
Row = tuple[NDArray[np.int64], Floats]  # bins, weight in each; unit length


class Grams:
    """The answers' texts as grams; `text_of(number)` gives an answer's text when it is first looked at."""

    def __init__(self, text_of: Callable[[int], str], sample: Iterable[int]) -> None:
        seen = [_counts(text_of(number))[0] for number in sample]
        rows = np.bincount(np.concatenate(seen), minlength=BINS) if seen else np.zeros(BINS)
        self._idf: Floats = np.log((1 + len(seen)) / (1 + rows)) + 1
        self._row = lru_cache(KEPT)(lambda number: self._weighed(text_of(number)))

    def likeness(self, text: str, numbers: Sequence[int] | NDArray[np.int64]) -> Floats:
        """Cosine of a text to each of these answers, (numbers,)."""
        bins, weights = self._weighed(text)
        asked = np.zeros(BINS)
        asked[bins] = weights
        return np.array([row[1] @ asked[row[0]] for row in map(self._row, map(int, numbers))])

    def _weighed(self, text: str) -> Row:
        bins, counts = _counts(text)
        weights = (1 + np.log(counts)) * self._idf[bins]
        return bins, weights / max(float(np.linalg.norm(weights)), 1e-9)


def _counts(text: str) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The bins of a text's grams and how often each comes."""
    plain = unicodedata.normalize("NFKD", text.lower()).encode("ascii", "ignore").decode()
    spaced = f" {'  '.join(plain.split())} "  # two blanks between words: a gram with both belongs to neither
    letters = np.frombuffer(spaced.encode(), np.uint8).astype(np.uint32)
    runs = np.lib.stride_tricks.sliding_window_view(letters, 4) if len(letters) >= 4 else np.zeros((0, 4), np.uint32)
    blank = runs == _SPACE
    within = runs[~(blank[:, :-1] & blank[:, 1:]).any(axis=1)]
    codes = within @ _PLACES
    return np.unique((codes * _MIX >> np.uint32(16)).astype(np.int64), return_counts=True)

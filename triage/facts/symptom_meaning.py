"""Symptoms told in any words: nearness to the pack's lessons by meaning, and their words, weighed together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Vectors = NDArray[np.float32]
SHARPNESS = 3.0  # of nearness, exp(SHARPNESS * (cosine - 1)); best of 0 (a plane), 3, 6 and 10 on told sentences


@dataclass(frozen=True)
class SymptomMeaning:
    """Scores every symptom for a piece of text: about 0 for none, towards 1 for one told plainly."""

    ids: tuple[str, ...]
    lessons: Vectors  # (lessons, dimension): unit vectors of what was learnt from
    by_lesson: Vectors  # (lessons, symptoms)
    words: Mapping[str, int]  # feature -> row of the next two
    rarity: Vectors  # (features,)
    by_word: Vectors  # (features, symptoms)

    def scores(self, vectors: Vectors, told: Sequence[frozenset[str]]) -> Vectors:
        """One row a piece, one column a symptom, from the pieces' unit vectors and the features of their words."""
        result: Vectors = nearness(vectors, self.lessons) @ self.by_lesson
        for row, features in enumerate(told):
            known = [self.words[feature] for feature in sorted(features) if feature in self.words]
            if known:
                weight = self.rarity[known]
                result[row] += (weight @ self.by_word[known]) / np.linalg.norm(weight)
        return result


def nearness(vectors: Vectors, lessons: Vectors) -> Vectors:
    """A Gaussian kernel on unit vectors: 1 for the same meaning. It keeps odd wordings of one symptom apart."""
    result: Vectors = np.exp(SHARPNESS * (vectors @ lessons.T - 1.0))
    return result

"""How alike in meaning a question and the answers are, read off their vectors."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from triage.matching.encode import Vectors

Floats = NDArray[np.float64]
STANDS_OUT = 1.0  # standard deviations over the mean from which a sentence speaks for an answer


def best_of(cosines: Floats, owner: NDArray[np.int64], size: int) -> Floats:
    """The best cosine per answer and text: (rows, texts) -> (size, texts); 0 where an answer has no row."""
    result = np.zeros((size, cosines.shape[1]))
    np.maximum.at(result, owner, cosines)
    return result


def evidence(cosines: Floats, background: Floats) -> Floats:
    """What the sentences of a question add up to for each answer: (answers, sentences) -> (answers,).

    `background` are the cosines of the base, or of a sample of a large one: what a sentence must stand out from.

    A greeting is as near to one answer as to the next and adds nothing; a sentence that stands out for an answer adds
    by how much. Two telling sentences count more than one, by the square root of their number.
    """
    spread = background.std(axis=0) + 1e-6
    outstanding = np.clip((cosines - background.mean(axis=0)) / spread - STANDS_OUT, 0.0, None)
    total: Floats = outstanding.sum(axis=1) / np.sqrt(cosines.shape[1])
    return total


def profile_likeness(told: Vectors, profiles: Vectors) -> Floats:
    """Cosine of what a question tells of symptoms and what each answer does; 0 where either tells of none."""
    width = min(len(told), profiles.shape[1])
    lengths = np.linalg.norm(profiles, axis=1) * np.linalg.norm(told)
    result: Floats = (profiles[:, :width] @ told[:width]).astype(np.float64) / np.maximum(lengths, 1e-9)
    return result

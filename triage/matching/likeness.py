"""How alike in meaning a question and the answers are, read off their vectors."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from triage.matching.encode import Vectors

Floats = NDArray[np.float64]
SHARPNESS = 12.0  # how much a piece's vote leans to the answers nearest to it
FLOOR = 0.1  # share of an even vote that an answer without any has, so that its logarithm stays small


def best_of(cosines: Vectors, owner: NDArray[np.int64], size: int) -> Floats:
    """The best cosine per answer and text: (rows, texts) -> (size, texts); 0 where an answer has no row.

    `owner` must rise.
    """
    result = np.zeros((size, cosines.shape[1]))
    if len(owner):
        starts = np.flatnonzero(np.diff(owner, prepend=-1))
        result[owner[starts]] = np.maximum(np.maximum.reduceat(cosines, starts, axis=0), 0.0)
    return result


def votes(cosines: Floats, background: Floats) -> Floats:
    """What the pieces of a question add up to for each answer: (answers, pieces) -> (answers,).

    Each piece shares its vote among the answers, softmax of its cosines. A greeting is as near to one answer as to the
    next and tells nothing; a piece that is near to one answer only gives it most of its vote. The result is the
    logarithm of the mean vote, measured in even shares. `background` are the cosines of the base, or of a sample of a
    large one: what an even share is.
    """
    if not cosines.size:
        return np.zeros(len(cosines))
    even = np.exp(SHARPNESS * background).mean(axis=0)
    result: Floats = np.log((np.exp(SHARPNESS * cosines) / even).mean(axis=1) + FLOOR)
    return result


def profile_likeness(told: Vectors, profiles: Vectors) -> Floats:
    """Cosine of what a question tells of symptoms and what each answer does; 0 where either tells of none."""
    width = min(len(told), profiles.shape[1])
    lengths = np.linalg.norm(profiles, axis=1) * np.linalg.norm(told)
    result: Floats = (profiles[:, :width] @ told[:width]).astype(np.float64) / np.maximum(lengths, 1e-9)
    return result

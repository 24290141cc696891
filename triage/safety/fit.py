"""Learn from told sentences how each hazard sounds: kernel ridge regression on sentence vectors, solved exactly.

A Gaussian kernel on unit vectors, exp(SHARPNESS * (cosine - 1)), lets odd wordings far apart belong to one hazard,
which one plane per hazard does not. One linear system serves all hazards, so that a fit takes about a second, needs
numpy alone and gives the same numbers every time. Method: Saunders, Gammerman and Vovk, "Ridge Regression Learning
Algorithm in Dual Variables", 1998 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from triage.pack.schema import Hazard, Symptom

Vectors = NDArray[np.float32]
SHARPNESS = 3.0  # best of 0 (a plane), 3 and 6 on the tuning split
RIDGE = 0.1
DANGER_WEIGHT = 3.0  # told dangers are fewer than everything else together


@dataclass(frozen=True)
class Lesson:
    """One sentence to learn from, with the hazards it tells of (none: harmless)."""

    text: str
    hazards: frozenset[str]


@dataclass(frozen=True)
class Learnt:
    """The fitted machine: scores are near 1 for a sentence that tells a hazard, near -1 for one that does not."""

    hazards: tuple[str, ...]
    told: Vectors  # (sentences, dimension)
    weights: Vectors  # (sentences, hazards)

    def scores(self, vectors: Vectors) -> Vectors:
        """One row a vector, one column a hazard."""
        result: Vectors = _kernel(vectors, self.told) @ self.weights
        return result


def lessons(hazards: Mapping[str, Hazard], symptoms: Iterable[Symptom], calm: Iterable[str]) -> list[Lesson]:
    """All that the pack tells of danger and of its opposite; a symptom tells the hazards it alone stands for."""
    result = [Lesson(text, frozenset((h.id,))) for h in hazards.values() for text in h.examples]
    harmless = [*(text for h in hazards.values() for text in h.calm), *calm]
    result += [Lesson(text, frozenset()) for text in harmless]
    stands_for = _symptoms_of(hazards)
    result += [Lesson(text, stands_for.get(s.id, frozenset())) for s in symptoms for text in s.examples]
    return result


def learn(told: list[Lesson], vectors: Vectors) -> Learnt:
    """Fit to lessons and their unit vectors, one row each."""
    hazards = tuple(sorted({hazard for lesson in told for hazard in lesson.hazards}))
    target = np.array([[1.0 if h in lesson.hazards else -1.0 for h in hazards] for lesson in told]).reshape(
        len(told), -1
    )
    weight = np.array([DANGER_WEIGHT if lesson.hazards else 1.0 for lesson in told])
    system = _kernel(vectors, vectors).astype(np.float64) + np.diag(RIDGE / weight)
    return Learnt(hazards, vectors, np.linalg.solve(system, target).astype(np.float32))


def _kernel(a: Vectors, b: Vectors) -> Vectors:
    result: Vectors = np.exp(SHARPNESS * (a @ b.T - 1.0))
    return result


def _symptoms_of(hazards: Mapping[str, Hazard]) -> dict[str, frozenset[str]]:
    result: dict[str, frozenset[str]] = {}
    for hazard in hazards.values():
        for condition in hazard.facts:
            for symptom in condition["symptom"] if set(condition) == {"symptom"} else ():
                result[symptom] = result.get(symptom, frozenset()) | {hazard.id}
    return result

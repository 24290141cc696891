"""Learn from told sentences how each hazard sounds: ridge regression on sentence vectors and their nearness to marks.

Every so-many-th sentence is a mark; nearness is a Gaussian kernel on unit vectors, exp(SHARPNESS * (cosine - 1)).
The marks let odd wordings far apart belong to one hazard, which one plane per hazard does not, and keep the system
small: it is solved exactly, with numpy alone, in about a second, and gives the same numbers every time. Method: Rahimi
and Recht, "Random Features for Large-Scale Kernel Machines", 2007, in its landmark form (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from triage.pack.schema import Hazard, Symptom

Vectors = NDArray[np.float32]
SHARPNESS = 3.0  # best of 3, 6 and 10 on the tuning split
RIDGE = 1.0
MARKS = 800
DANGER_WEIGHT = 3.0  # told dangers are fewer than everything else together
SYMPTOM_WEIGHT = 0.5  # a symptom's example may tell a danger beside its symptom


@dataclass(frozen=True)
class Lesson:
    """One sentence to learn from, with the hazards it tells of (none: harmless)."""

    text: str
    hazards: frozenset[str]
    sure: bool = True


@dataclass(frozen=True)
class Learnt:
    """The fitted machine: scores are near 1 for a sentence that tells a hazard, near -1 for one that does not."""

    hazards: tuple[str, ...]
    marks: Vectors  # (marks, dimension)
    weights: Vectors  # (dimension + marks + 1, hazards)

    def scores(self, vectors: Vectors) -> Vectors:
        """One row a vector, one column a hazard."""
        result: Vectors = _features(vectors, self.marks) @ self.weights
        return result


def lessons(
    hazards: Mapping[str, Hazard],
    symptoms: Iterable[Symptom],
    calm: Iterable[str],
    told: Iterable[tuple[str, str]] = (),
) -> list[Lesson]:
    """All that the pack tells of danger and of its opposite; a symptom tells the hazards it alone stands for."""
    result = [Lesson(text, frozenset((h.id,))) for h in hazards.values() for text in h.examples]
    result += [Lesson(text, frozenset((hazard,))) for hazard, text in told]
    harmless = [*(text for h in hazards.values() for text in h.calm), *calm]
    result += [Lesson(text, frozenset()) for text in harmless]
    stands_for = _symptoms_of(hazards)
    result += [Lesson(text, stands_for.get(s.id, frozenset()), sure=False) for s in symptoms for text in s.examples]
    return result


def learn(told: list[Lesson], vectors: Vectors) -> Learnt:
    """Fit to lessons and their unit vectors, one row each."""
    hazards = tuple(sorted({hazard for lesson in told for hazard in lesson.hazards}))
    if not told or not hazards:
        return Learnt((), vectors[:0], np.zeros((vectors.shape[1] + 1, 0), np.float32))
    target = np.array([[1.0 if h in lesson.hazards else -1.0 for h in hazards] for lesson in told])
    weight = np.array([[_weight(lesson)] for lesson in told])
    marks = vectors[:: max(1, len(vectors) // MARKS)][:MARKS]
    known = _features(vectors, marks).astype(np.float64)
    system = known.T @ (known * weight) + RIDGE * np.eye(known.shape[1])
    return Learnt(hazards, marks, np.linalg.solve(system, known.T @ (target * weight)).astype(np.float32))


def _weight(lesson: Lesson) -> float:
    if not lesson.sure:
        return SYMPTOM_WEIGHT
    return DANGER_WEIGHT if lesson.hazards else 1.0


def _features(vectors: Vectors, marks: Vectors) -> Vectors:
    nearness = np.exp(SHARPNESS * (vectors @ marks.T - 1.0))
    result: Vectors = np.hstack([vectors, nearness, np.ones((len(vectors), 1), np.float32)])
    return result


def _symptoms_of(hazards: Mapping[str, Hazard]) -> dict[str, frozenset[str]]:
    result: dict[str, frozenset[str]] = {}
    for hazard in hazards.values():
        for condition in hazard.facts:
            for symptom in condition["symptom"] if set(condition) == {"symptom"} else ():
                result[symptom] = result.get(symptom, frozenset()) | {hazard.id}
    return result

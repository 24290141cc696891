"""Learn from told sentences how each hazard sounds: ridge regression on sentence vectors, their nearness to marks, and
the words themselves.

Every so-many-th sentence is a mark; nearness is a Gaussian kernel on unit vectors, exp(SHARPNESS * (cosine - 1)).
The marks let odd wordings far apart belong to one hazard, which one plane per hazard does not; the words hold what a
vector dilutes. The system is solved exactly, with numpy alone, and gives the same numbers every time. Method: Rahimi
and Recht, "Random Features for Large-Scale Kernel Machines", 2007, in its landmark form (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from triage.language.tokens import tokenise
from triage.pack.schema import Hazard, Told
from triage.safety.wordbag import Stems, WordBag

Vectors = NDArray[np.float32]
SHARPNESS = 3.0  # best of 3, 6 and 10 on the tuning split
RIDGE = 0.3  # of 0.3, 1, 5 and 20 the one with which most danger presses at 5 % of calm messages
MARKS = 4000
WORDS = 3000
WORDS_SHARE = 0.5  # of words beside meaning; best of 0, 0.5 and 1 on held-out stories
DANGER_WEIGHT = 3.0  # told dangers are fewer than everything else together


@dataclass(frozen=True)
class Lesson:
    """One sentence to learn from, with the hazards it tells of (none: harmless)."""

    text: str
    hazards: frozenset[str]

    @property
    def stems(self) -> Stems:
        """Its words without inflections."""
        return [token.stem for token in tokenise(self.text) if token.is_word]


@dataclass(frozen=True)
class Learnt:
    """The fitted machine: scores are near 1 for a sentence that tells a hazard, near -1 for one that does not."""

    hazards: tuple[str, ...]
    marks: Vectors  # (marks, dimension)
    bag: WordBag
    weights: Vectors  # (dimension + marks + words + 1, hazards)

    def scores(self, vectors: Vectors, pieces: Sequence[Stems]) -> Vectors:
        """One row a piece, told by its vector and its words; one column a hazard."""
        sizes = (vectors.shape[1], len(self.marks), len(self.bag.words))
        meaning, nearness, words, bias = np.split(self.weights, np.cumsum(sizes))
        result: Vectors = vectors @ meaning + _nearness(vectors, self.marks) @ nearness + bias
        result += WORDS_SHARE * self.bag.rows(pieces) @ words
        return result


def lessons(hazards: Mapping[str, Hazard], calm: Iterable[str], told: Iterable[Told] = ()) -> list[Lesson]:
    """All that the pack tells of danger and of its opposite, each sentence once, with every hazard it stands under."""
    found: dict[str, set[str]] = {}
    for hazard in hazards.values():
        for text in hazard.examples:
            found.setdefault(text, set()).add(hazard.id)
    harmless = [*(text for hazard in hazards.values() for text in hazard.calm), *calm]
    for record in told:
        harmless += record.unlike
        for text in record.sentences:
            found.setdefault(text, set()).add(record.id)
    for text in harmless:
        found.setdefault(text, set())
    return [Lesson(text, frozenset(ids)) for text, ids in found.items()]


def learn(told: Sequence[Lesson], vectors: Vectors) -> Learnt:
    """Fit to lessons and their unit vectors, one row each."""
    hazards = tuple(sorted({hazard for lesson in told for hazard in lesson.hazards}))
    pieces = [lesson.stems for lesson in told]
    bag = WordBag.learn(pieces, WORDS)
    marks = _marks(vectors)
    known = _features(vectors, pieces, marks, bag)
    target = np.array([[1.0 if h in lesson.hazards else -1.0 for h in hazards] for lesson in told], np.float32)
    weight = np.array([[DANGER_WEIGHT if lesson.hazards else 1.0] for lesson in told], np.float32)
    if not hazards:
        return Learnt((), marks, bag, np.zeros((known.shape[1], 0), np.float32))
    system = (known.T @ (known * weight)).astype(np.float64) + RIDGE * np.eye(known.shape[1])
    solved = np.linalg.solve(system, (known.T @ (target * weight)).astype(np.float64))
    return Learnt(hazards, marks, bag, solved.astype(np.float32))


def _marks(vectors: Vectors) -> Vectors:
    """Marks in half precision, as they are kept."""
    step = max(1, len(vectors) // MARKS)
    return vectors[::step][:MARKS].astype(np.float16).astype(np.float32)


def _features(vectors: Vectors, pieces: Sequence[Stems], marks: Vectors, bag: WordBag) -> Vectors:
    words = WORDS_SHARE * bag.rows(pieces)
    return np.hstack([vectors, _nearness(vectors, marks), words, np.ones((len(vectors), 1), np.float32)])


def _nearness(vectors: Vectors, marks: Vectors) -> Vectors:
    result: Vectors = np.exp(np.float32(SHARPNESS) * (vectors @ marks.T - np.float32(1.0)))
    return result

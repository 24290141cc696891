"""Symptoms told in any words: a linear reading of sentence vectors and words, learned from the pack's examples."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from triage.facts.symptom_features import features
from triage.language import Document, Language
from triage.pack.schema import Symptom

Vectors = NDArray[np.float32]
VECTOR_SHARE = 0.7  # of likeness by meaning; the rest is likeness by words
RIDGE = 0.1


@dataclass(frozen=True, slots=True)
class Lesson:
    """A text and the symptom it tells; "" for one that tells none."""

    text: str
    symptom: str


def lessons(symptoms: Iterable[Symptom], plain: Iterable[str] = ()) -> tuple[Lesson, ...]:
    """What the pack teaches, each text once; `plain` are texts of the pack that tell no symptom, as a part's name."""
    told: dict[str, Lesson] = {}
    for symptom in symptoms:
        for text in symptom.examples:
            told.setdefault(text.casefold(), Lesson(text, symptom.id))
        for text in symptom.unlike:
            told.setdefault(text.casefold(), Lesson(text, ""))
    for text in plain:
        told.setdefault(text.casefold(), Lesson(text, ""))
    return tuple(told.values())


class SymptomMeaning:
    """Scores every symptom for a piece of text: about 0 for none, towards 1 for one told plainly."""

    def __init__(self, ids: Sequence[str], by_vector: Vectors, words: dict[str, int], by_word: Vectors) -> None:
        self.ids = tuple(ids)
        self.by_vector = by_vector  # (dimension, symptoms)
        self.words = words  # feature -> row of by_word
        self.by_word = by_word  # (features, symptoms + 1); the last column is the feature's weight

    @classmethod
    def learn(
        cls,
        ids: Sequence[str],
        taught: Sequence[Lesson],
        language: Language,
        encode: Callable[[Sequence[str]], Vectors],
    ) -> SymptomMeaning:
        """Kernel ridge regression on the lessons (one-hot; all zero where none is told), folded to linear weights."""
        vectors = encode([lesson.text for lesson in taught]).astype(np.float64)
        places = _places([_of_text(language, lesson.text) for lesson in taught])
        rarity = {word: float(np.log((1 + len(taught)) / (1 + len(rows))) + 0.5) for word, rows in places.items()}
        lengths = _lengths(len(taught), places, rarity)
        kernel = VECTOR_SHARE * vectors @ vectors.T
        for word, rows in places.items():
            part = rarity[word] / lengths[rows]
            kernel[np.ix_(rows, rows)] += (1 - VECTOR_SHARE) * np.outer(part, part)
        targets = np.array([[float(lesson.symptom == id) for id in ids] for lesson in taught])
        dual = np.linalg.solve(kernel + RIDGE * np.eye(len(taught)), targets)
        by_word = np.zeros((len(places), len(ids) + 1), np.float32)
        for row, (word, rows) in enumerate(places.items()):
            by_word[row, :-1] = (1 - VECTOR_SHARE) * (rarity[word] / lengths[rows]) @ dual[rows]
            by_word[row, -1] = rarity[word]
        words = {word: row for row, word in enumerate(places)}
        return cls(ids, (VECTOR_SHARE * vectors.T @ dual).astype(np.float32), words, by_word)

    def scores(self, document: Document, first: int, last: int, vector: Vectors) -> Vectors:
        """One score a symptom, in the order of `ids`, for tokens first..last and their vector."""
        rows = [self.words[f] for f in sorted(features(document, first, last)) if f in self.words]
        told: Vectors = vector @ self.by_vector
        if rows:
            picked = self.by_word[rows]
            weight = picked[:, -1]
            told = told + (weight @ picked[:, :-1]) / np.linalg.norm(weight)
        return told


def _of_text(language: Language, text: str) -> frozenset[str]:
    document = language.annotate(text)
    return features(document, 0, len(document.tokens))


def _places(found: Sequence[frozenset[str]]) -> dict[str, NDArray[np.intp]]:
    """Feature -> lessons that have it, features in alphabetical order."""
    places: dict[str, list[int]] = {}
    for row, item in enumerate(found):
        for word in item:
            places.setdefault(word, []).append(row)
    return {word: np.array(places[word], np.intp) for word in sorted(places)}


def _lengths(count: int, places: dict[str, NDArray[np.intp]], rarity: dict[str, float]) -> NDArray[np.float64]:
    squares = np.zeros(count)
    for word, rows in places.items():
        squares[rows] += rarity[word] ** 2
    return np.sqrt(np.maximum(squares, 1e-12))

"""Rank the answers for one question and say how probable each is: a conditional logit with "none fits" as a choice."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from triage.matching.encode import Vectors
from triage.matching.fit import Fit, denied_values, fit
from triage.matching.index import AnswerIndex
from triage.model import Fact, Match

RANKER_FILE = Path(__file__).parent / "ranker.json"
FEATURES = (
    "whole",
    "sentence",
    "passage",
    "words",
    "specific",
    "make_fit",
    "open",
    "symptom_hit",
    "symptom_miss",
    "intent",
)
KEPT = 10
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Ranker:
    """Weights of the features, the score of "none fits", and a temperature."""

    weights: tuple[float, ...]
    none: float  # score of "nothing in the base fits"
    none_gap: float = 0.0  # weight of how far the best answer lies under a good similarity
    temperature: float = 1.0

    @classmethod
    def load(cls, file: Path = RANKER_FILE) -> Ranker:
        """The shipped (or a refitted) ranker. Raises ValueError when it is for other features."""
        data = json.loads(file.read_text(encoding="utf-8"))
        if tuple(data["features"]) != FEATURES:
            raise ValueError(f"{file} was fitted for other features; refit it with 'make ranker'.")
        return cls(tuple(data["weights"]), data["none"], data.get("none_gap", 0.0), data.get("temperature", 1.0))


@dataclass(frozen=True)
class Ask:
    """What ranking needs to know of a question."""

    whole: Vectors  # (dimension,)
    sentences: Vectors  # (sentences, dimension)
    words: tuple[str, ...]
    facts: dict[str, Fact]  # what holds of the vehicle
    denied: dict[str, set[object]]
    symptoms: frozenset[str]
    intent: str


def features(index: AnswerIndex, ask: Ask) -> tuple[Floats, list[Fit]]:
    """Feature matrix (answers, features) and each answer's fit."""
    size = len(index)
    whole, passage = _similarities(index, ask.whole[None, :])
    sentence, _ = _similarities(index, ask.sentences) if len(ask.sentences) else (whole, passage)
    lexical = np.array(index.lexical.scores(ask.words, size))
    fits = [fit(scope, ask.facts, ask.denied) for scope in index.scopes]  # type: ignore[arg-type]
    columns = [
        whole,
        sentence,
        passage,
        _relative(lexical),
        np.array([_specific(item, bits) for item, bits in zip(fits, index.narrow, strict=True)]),
        np.array([float("make" in item.agrees or "model" in item.agrees) for item in fits]),
        np.array([float(len(item.unknown)) for item in fits]),
        *_symptom_columns(index, ask.symptoms),
        np.array([_intent(intents, ask.intent) for intents in index.intents]),
    ]
    return np.stack(columns, axis=1), fits


def _similarities(index: AnswerIndex, vectors: Vectors) -> tuple[Floats, Floats]:
    """Best cosine per answer over its question wordings, and over its body passages."""
    cosine = (index.vectors @ vectors.T).max(axis=1).astype(np.float64)
    size = len(index)
    questions, bodies = np.full(size, 0.0), np.full(size, 0.0)
    np.maximum.at(questions, index.owner[index.is_question], cosine[index.is_question])
    np.maximum.at(bodies, index.owner[~index.is_question], cosine[~index.is_question])
    return questions, bodies


def _relative(scores: Floats) -> Floats:
    """BM25 grows with the question's length; its share of the best is comparable."""
    top = scores.max(initial=0.0)
    return scores / top if top > 0 else scores


def _specific(item: Fit, narrow: float) -> float:
    """Bits of an answer's narrowness, where the asker's vehicle is known to be in its range."""
    return narrow if item.agrees and not item.unknown else narrow / 2 if item.agrees else 0.0


def _symptom_columns(index: AnswerIndex, told: frozenset[str]) -> tuple[Floats, Floats]:
    """Share of the told symptoms an answer is about, and whether it is about others only."""
    hits = np.array([len(told & own) / max(1, len(told)) for own in index.symptoms])
    misses = np.array([float(bool(told and own and not told & own)) for own in index.symptoms])
    return hits, misses


def _intent(intents: frozenset[str], told: str) -> float:
    if not intents or not told:
        return 0.0
    return 1.0 if told in intents else -1.0


def rank(index: AnswerIndex, ask: Ask, ranker: Ranker) -> tuple[tuple[Match, ...], float]:
    """The likeliest answers, best first, and the probability that none fits. Excluded answers are left out."""
    if not len(index):
        return (), 1.0
    matrix, fits = features(index, ask)
    scores = matrix @ np.array(ranker.weights)
    scores[[item.excluded for item in fits]] = -np.inf
    probabilities, none = choose(scores, matrix, ranker)
    order = sorted(range(len(index)), key=lambda i: (-probabilities[i], index.answers[i].id))
    kept = [i for i in order if np.isfinite(scores[i])][:KEPT]
    return tuple(_match(index, i, probabilities[i], fits[i], matrix[i], ask) for i in kept), none


def choose(scores: Floats, matrix: Floats, ranker: Ranker) -> tuple[Floats, float]:
    """Probabilities of the answers and of none: softmax over the scores and the score of none."""
    best = float(matrix[np.isfinite(scores), 0].max(initial=0.0)) if np.isfinite(scores).any() else 0.0
    none = ranker.none + ranker.none_gap * (1.0 - best)
    logits = np.append(scores, none) / ranker.temperature
    shifted = np.exp(logits - logits[np.isfinite(logits)].max())
    shares = shifted / shifted.sum()
    return shares[:-1], float(shares[-1])


def _match(index: AnswerIndex, number: int, probability: float, item: Fit, row: Floats, ask: Ask) -> Match:
    why = [*item.why]
    shared = ask.symptoms & index.symptoms[number]
    if shared:
        why.append("tells of: " + ", ".join(sorted(shared)))
    why.append(f"likeness of the wording {max(row[0], row[1]):.2f}")
    against = [f"not told: {name}" for name in item.unknown]
    return Match(index.answers[number].id, round(float(probability), 4), tuple(why), tuple(against))


def denied_for(facts: Sequence[Fact]) -> dict[str, set[object]]:
    """What was denied, as ranking takes it."""
    return {name: set(values) for name, values in denied_values(tuple(facts)).items()}

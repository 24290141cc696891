"""What the ranker looks at: how each answer meets a question, in numbers of which more is better unless said."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from triage.matching.encode import Vectors
from triage.matching.fit import Fit, fit
from triage.matching.index import AnswerIndex, Part
from triage.matching.likeness import best_of, profile_likeness, votes
from triage.model import Fact, FactValue, Standing

FEATURES = (
    "whole",  # likeness of the question as one text to the answer's question wordings
    "full",  # ... to the whole answer as one text
    "passage",  # ... to its best paragraph
    "title",  # ... to its title
    "votes",  # what the single pieces add up to
    "words",  # BM25, as a share of the best
    "grams",  # likeness in spelling
    "parts",  # share of the parts named in the question that its text names
    "symptoms",  # likeness of what both tell of symptoms
    "danger",  # the danger reported is the one it is about
    "perils",  # likeness of what both sound like of danger
    "wants",  # logarithm of the chance that both want the same: a diagnosis, a size, a part...
    "needs",  # share of the facts it turns on that were told
    "agrees",  # square root of the number of facts its range is limited by that agree
    "doubts",  # against: facts that disagree, said only by the catalogue of a name with several models
    "foreign",  # against: it is for listed vehicles, and the asker's is not listed
    "contested",  # against: facts that disagree, hedged or with another value beside them
    "refused",  # against: it is about a symptom that was denied, and about none that was told
)
NEIGHBOURS = frozenset({"doubts", "foreign", "contested"})  # what makes an answer one for another vehicle
AGAINST = NEIGHBOURS | {"refused"}
LEAST_WANTED = 0.01  # chance below which it does not matter how little two messages want the same
Floats = NDArray[np.float64]
Integers = NDArray[np.int64]


@dataclass(frozen=True)
class Ask:
    """What ranking needs to know of a question."""

    whole: Vectors  # (dimension,)
    pieces: Vectors  # (pieces, dimension)
    words: tuple[str, ...]
    facts: dict[str, Fact]  # what holds of the vehicle
    denied: dict[str, set[FactValue]]
    symptoms: frozenset[str]
    intent: str
    parts: frozenset[str] = frozenset()
    dangers: frozenset[str] = frozenset()  # hazards reported as happening
    profile: Vectors = field(default_factory=lambda: np.zeros(0, np.float32))  # (symptoms,): how plainly each is told
    elsewhere: float = 0.0  # how much it sounds like post no answer is for; see scope.py
    text: str = ""  # the question as one text
    mentioned: dict[str, set[FactValue]] = field(default_factory=dict)  # every value told of their vehicles
    refused: frozenset[str] = frozenset()  # symptoms denied
    perils: Vectors = field(default_factory=lambda: np.zeros(0, np.float32))  # (hazards,): how like each it sounds
    wants: Floats = field(default_factory=lambda: np.zeros(0))  # (intents,): P(intent)


@dataclass(frozen=True)
class Heard:
    """What a question's words and meaning say of the answers looked at, whichever facts hold of the vehicle."""

    numbers: Integers  # (looked at,)
    columns: Mapping[str, Floats]


@dataclass(frozen=True)
class Seen:
    """The answers looked at: their numbers in the index, their features and their fit to the vehicle."""

    numbers: Integers  # (looked at,)
    matrix: Floats  # (looked at, features)
    fits: list[Fit]

    @property
    def excluded(self) -> NDArray[np.bool_]:
        """Answers a firm fact speaks against."""
        return np.array([item.excluded for item in self.fits], dtype=bool)

    @property
    def nearest(self) -> float:
        """The best likeness of a paragraph, over the answers no firm fact speaks against: how near any can come."""
        return float(self.matrix[~self.excluded, FEATURES.index("passage")].max(initial=0.0))


def features(index: AnswerIndex, ask: Ask, heard: Heard | None = None) -> Seen:
    """The features of every answer worth ranking; `heard` is `hear` of the same question, perhaps with other facts."""
    heard = heard or hear(index, ask)
    fits = _fits(index, ask, heard.numbers)
    columns = {**heard.columns, "needs": _needs(index, ask.facts, heard.numbers), **_fit_columns(fits)}
    return Seen(heard.numbers, np.stack([columns[name] for name in FEATURES], axis=1), fits)


def hear(index: AnswerIndex, ask: Ask) -> Heard:
    """The features that do not turn on the facts, of every answer worth ranking."""
    bm25 = np.array(index.lexical.scores(ask.words, len(index)))
    numbers = index.candidates(ask.whole, bm25)
    columns = {
        **_likeness(index, ask, numbers),
        "words": _relative(bm25)[numbers],
        "grams": index.grams.likeness(ask.text, numbers),
        "parts": _column(numbers, lambda i: _parts(index, i, ask.parts)),
        "symptoms": profile_likeness(ask.profile, index.profiles[numbers]),
        "danger": _column(numbers, lambda i: float(bool(ask.dangers & index.told[i].dangers))),
        "perils": profile_likeness(ask.perils, index.perils[numbers]),
        "wants": _wants(ask.wants, index.wants[numbers]),
        "refused": _column(numbers, lambda i: _refused(index.symptoms[i], ask)),
    }
    return Heard(numbers, columns)


def _fits(index: AnswerIndex, ask: Ask, numbers: Integers) -> list[Fit]:
    """The fit of each answer, worked out once for those with the same scope."""
    scopes, own = index.ranges
    places = own[numbers].tolist()
    found = {at: fit(scopes[at], ask.facts, ask.denied, index.listed, ask.mentioned) for at in set(places)}
    return [found[at] for at in places]


def _column(numbers: Integers, value: Callable[[int], float]) -> Floats:
    return np.array([value(int(number)) for number in numbers])


def _likeness(index: AnswerIndex, ask: Ask, numbers: Integers) -> dict[str, Floats]:
    best = _best(index, np.vstack([ask.whole[None, :], ask.pieces]), numbers)
    pieces = _nearest(best)[:, 1:]
    background = pieces if len(numbers) == len(index) else _background(index, ask.pieces)
    return {
        "whole": best[Part.WORDING][:, 0],
        "full": best[Part.WHOLE][:, 0],
        "passage": best[Part.BODY][:, 0],
        "title": best[Part.TITLE][:, 0],
        "votes": votes(pieces, background),
    }


def _nearest(best: dict[Part, Floats]) -> Floats:
    """The best cosine to any passage: (numbers, texts)."""
    nearest: Floats = np.maximum.reduce(list(best.values()))
    return nearest


def _background(index: AnswerIndex, texts: Vectors) -> Floats:
    """The best cosine of each text to any passage of a sample of the base: (answers, texts)."""
    vectors, places = index.sampled
    return best_of(vectors @ texts.T, places, len(index.sample()))


def _best(index: AnswerIndex, texts: Vectors, numbers: Integers) -> dict[Part, Floats]:
    """The best cosine of each text to each kind of passage of these answers: part -> (numbers, texts)."""
    rows, places = index.rows_of(numbers)
    vectors = index.vectors if len(rows) == len(index.vectors) else index.vectors[rows]
    part, cosines = index.part[rows], vectors @ texts.T
    return {kind: best_of(cosines[part == kind], places[part == kind], len(numbers)) for kind in Part}


def _relative(scores: Floats) -> Floats:
    """BM25 grows with the question's length; its share of the best is comparable."""
    top = scores.max(initial=0.0)
    return scores / top if top > 0 else scores


def _parts(index: AnswerIndex, number: int, told: frozenset[str]) -> float:
    total = sum(index.rarity.get(part, 0.0) for part in told)
    shared = sum(index.rarity[part] for part in told & index.told[number].parts)
    return shared / total if total > 0 else 0.0


def _wants(asked: Floats, answered: Vectors) -> Floats:
    """0 where nothing is known of either."""
    width = min(len(asked), answered.shape[1])
    if not width:
        return np.zeros(len(answered))
    return np.log(np.maximum(answered[:, :width] @ asked[:width], LEAST_WANTED))


def _refused(symptoms: frozenset[str], ask: Ask) -> float:
    return float(bool(symptoms & ask.refused) and symptoms.isdisjoint(ask.symptoms))


def _needs(index: AnswerIndex, facts: Mapping[str, Fact], numbers: Integers) -> Floats:
    """Share of an answer's deciding facts that the asker told: who writes of it, writes of them."""
    told = {name for name, fact in facts.items() if fact.standing is not Standing.INFERRED}
    return _column(numbers, lambda i: len(index.needs[i] & told) / max(1, len(index.needs[i])))


def _fit_columns(fits: list[Fit]) -> dict[str, Floats]:
    return {
        "agrees": np.array([len(item.agrees) ** 0.5 for item in fits]),
        "doubts": np.array([float(len(item.doubts)) for item in fits]),
        "foreign": np.array([float(bool(item.foreign)) for item in fits]),
        "contested": np.array([float(len(item.contested)) for item in fits]),
    }

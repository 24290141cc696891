"""What the ranker looks at: how each answer meets a question, in numbers of which more is better unless said."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from triage.matching.encode import Vectors
from triage.matching.fit import Fit, fit
from triage.matching.index import AnswerIndex, Part
from triage.matching.likeness import best_of, evidence, profile_likeness
from triage.model import Fact, Standing

FEATURES = (
    "whole",  # likeness of the question as one text to the answer's question wordings
    "full",  # ... to the whole answer as one text
    "passage",  # ... to its best paragraph
    "title",  # ... to its title
    "evidence",  # what the single sentences add up to
    "words",  # BM25, as a share of the best
    "covered",  # share of the question's words the answer uses
    "parts",  # share of the parts named in the question that its text names
    "symptoms",  # likeness of what both tell of symptoms
    "danger",  # the danger reported is the one it is about
    "needs",  # share of the facts it turns on that were told
    "agrees",  # facts its range is limited by that agree
    "powertrain",  # the powertrain does
    "doubts",  # against: facts that disagree, said only by the catalogue of a name with several models
    "foreign",  # against: it is for listed vehicles, and the asker's is not listed
)
AGAINST = frozenset({"doubts", "foreign"})
Floats = NDArray[np.float64]
Integers = NDArray[np.int64]


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
    parts: frozenset[str] = frozenset()
    dangers: frozenset[str] = frozenset()  # hazards reported as happening
    profile: Vectors = field(default_factory=lambda: np.zeros(0, np.float32))  # (symptoms,): how plainly each is told
    elsewhere: float = 0.0  # how much it sounds like post no answer is for; see scope.py


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


def features(index: AnswerIndex, ask: Ask) -> Seen:
    """The features of every answer worth ranking."""
    bm25 = np.array(index.lexical.scores(ask.words, len(index)))
    numbers = index.candidates(ask.whole, bm25)
    fits = [fit(index.scopes[i], ask.facts, ask.denied, index.listed) for i in numbers]  # type: ignore[arg-type]
    columns = {
        **_likeness(index, ask, numbers),
        "words": _relative(bm25)[numbers],
        "covered": index.lexical.covered(ask.words)[numbers],
        "parts": _column(numbers, lambda i: _parts(index, i, ask.parts)),
        "symptoms": profile_likeness(ask.profile, index.profiles[numbers]),
        "danger": _column(numbers, lambda i: float(bool(ask.dangers & index.told[i].dangers))),
        "needs": _column(numbers, lambda i: _needs(index.answers[i].needs, ask.facts)),
        **_fit_columns(fits),
    }
    return Seen(numbers, np.stack([columns[name] for name in FEATURES], axis=1), fits)


def _column(numbers: Integers, value: Callable[[int], float]) -> Floats:
    return np.array([value(int(number)) for number in numbers])


def _likeness(index: AnswerIndex, ask: Ask, numbers: Integers) -> dict[str, Floats]:
    texts = np.vstack([ask.whole[None, :], ask.sentences])
    best = _best(index, texts, numbers)
    wordings, first = best[Part.WORDING], 1 if len(ask.sentences) else 0
    background = wordings if len(numbers) == len(index) else _best(index, texts, index.sample())[Part.WORDING]
    return {
        "whole": wordings[:, 0],
        "full": best[Part.WHOLE][:, 0],
        "passage": best[Part.BODY][:, 0],
        "title": best[Part.TITLE][:, 0],
        "evidence": evidence(wordings[:, first:], background[:, first:]),
    }


def _best(index: AnswerIndex, texts: Vectors, numbers: Integers) -> dict[Part, Floats]:
    """The best cosine of each text to each kind of passage of these answers: part -> (numbers, texts)."""
    rows, places = index.rows_of(numbers)
    part, cosines = index.part[rows], (index.vectors[rows] @ texts.T).astype(np.float64)
    return {kind: best_of(cosines[part == kind], places[part == kind], len(numbers)) for kind in Part}


def _relative(scores: Floats) -> Floats:
    """BM25 grows with the question's length; its share of the best is comparable."""
    top = scores.max(initial=0.0)
    return scores / top if top > 0 else scores


def _parts(index: AnswerIndex, number: int, told: frozenset[str]) -> float:
    total = sum(index.rarity.get(part, 0.0) for part in told)
    shared = sum(index.rarity[part] for part in told & index.told[number].parts)
    return shared / total if total > 0 else 0.0


def _needs(needs: Iterable[str], facts: dict[str, Fact]) -> float:
    """Share of an answer's deciding facts that the asker told: who writes of it, writes of them."""
    names = set(needs)
    told = {name for name in names if name in facts and facts[name].standing is not Standing.INFERRED}
    return len(told) / max(1, len(names))


def _fit_columns(fits: list[Fit]) -> dict[str, Floats]:
    return {
        "agrees": np.array([float(len(item.agrees)) for item in fits]),
        "powertrain": np.array([float("powertrain" in item.agrees) for item in fits]),
        "doubts": np.array([float(len(item.doubts)) for item in fits]),
        "foreign": np.array([float(bool(item.foreign)) for item in fits]),
    }

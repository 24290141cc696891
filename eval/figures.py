"""The figures of a report with how sure they are: each the sum of what every question adds, so that it is resampled."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import rankdata

from eval import (
    metrics_conflicts,
    metrics_facts,
    metrics_gaps,
    metrics_hazards,
    metrics_matching,
    metrics_symptoms,
    metrics_told,
)
from eval.calibration import BINS
from eval.cases import PROGRAM, Case
from eval.counts import Counts
from eval.resample import Interval, middle, picks

Floats = NDArray[np.float64]
Row = tuple[float, ...]
Adds = Callable[[Case], Row | None]  # what a question adds; None: it has no say in this figure
Of = Callable[[Floats], Floats]  # sums, (..., columns) -> figures, (...)


@dataclass(frozen=True, slots=True)
class Value:
    """A figure, its 95 % interval, and over how many questions."""

    value: float | None
    interval: Interval | None
    cases: int


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure by name; `aim` is what the shop asked for."""

    name: str
    measure: Callable[[Sequence[Case]], Value]
    aim: float | None = None
    percent: bool = False
    less_is_better: bool = False


def summed(adds: Adds, of: Of) -> Callable[[Sequence[Case]], Value]:
    """A figure of sums over questions, with its bootstrap interval over questions."""

    def measure(cases: Sequence[Case]) -> Value:
        rows = np.array([row for row in map(adds, cases) if row is not None], np.float64)
        if not len(rows):
            return Value(None, None, 0)
        value = float(of(rows.sum(axis=0)))
        again = of(rows[picks(len(rows))].sum(axis=1))
        return Value(None if np.isnan(value) else value, middle(again), len(rows))

    return measure


def _ratio(sums: Floats) -> Floats:
    """part / whole."""
    return _over(sums[..., 0], sums[..., 1])


def _f1(sums: Floats) -> Floats:
    """2 true / (2 true + false + missed); nan where nothing is there."""
    true, false, missed = (sums[..., column] for column in range(3))
    return np.where(true + missed > 0, _over(2 * true, 2 * true + false + missed), np.nan)


def _precision(sums: Floats) -> Floats:
    return _over(sums[..., 0], sums[..., 0] + sums[..., 1])


def _recall(sums: Floats) -> Floats:
    return _over(sums[..., 0], sums[..., 0] + sums[..., 2])


def _over(part: Floats, whole: Floats) -> Floats:
    shares: Floats = np.divide(part, whole, out=np.full(np.shape(whole), np.nan), where=np.asarray(whole) > 0)
    return shares


def _calibration_error(sums: Floats) -> Floats:
    """Expected calibration error from the bins' summed gaps (eval.calibration.expected_error) and the count."""
    return _over(np.abs(sums[..., :BINS]).sum(axis=-1), sums[..., BINS])


def _gap_row(case: Case) -> Row:
    best, right = case.ranking().best, metrics_matching.is_right(case)
    row = [0.0] * (BINS + 1)
    row[min(int(best * BINS), BINS - 1)] = float(right) - best
    row[BINS] = 1.0
    return tuple(row)


def _counted(counts: Callable[[Case], Counts]) -> Adds:
    def adds(case: Case) -> Row:
        found = counts(case)
        return found.true, found.false, found.missed

    return adds


def _shared(right: Callable[[Case], bool], asked: Callable[[Case], bool] = lambda _: True) -> Adds:
    return lambda case: (float(right(case)), 1.0) if asked(case) else None


def _has_answer(case: Case) -> bool:
    return case.gold.answer is not None


def _standing(case: Case) -> Row:
    pairs = metrics_facts.pair_standings(case).pairs
    return float(sum(gold.standing is found.standing for gold, found in pairs)), float(len(pairs))


def _symptoms(case: Case) -> Row | None:
    found = metrics_symptoms.pair_symptoms(case).counts
    return None if case.plain_symptoms else (found.true, found.false, found.missed)


def _one(kind: metrics_told.KindOfTold) -> Adds:
    return _counted(lambda case: metrics_told.counts_of([case], kind))


def none_fits(ranker: str = PROGRAM) -> Callable[[Sequence[Case]], Value]:
    """AUROC of "nothing fits" by how weak the best answer is, with its interval."""

    def measure(cases: Sequence[Case]) -> Value:
        none = np.array([case.gold.answer is None for case in cases], bool)
        weak = np.array([-case.ranking(ranker).best for case in cases])
        again = np.array([area(none[pick], weak[pick]) for pick in picks(len(cases))] if len(cases) else [np.nan])
        value = metrics_matching.none_fits(cases, ranker) if len(cases) else None
        return Value(value, middle(again) if value is not None else None, len(cases))

    return measure


def area(kinds: NDArray[np.bool_], scores: Floats) -> float:
    """Area under the curve by ranks (Mann-Whitney), quicker than scikit-learn's; nan when a kind is missing."""
    true = int(kinds.sum())
    false = len(kinds) - true
    if not true or not false:
        return float("nan")
    return float((rankdata(scores)[kinds].sum() - true * (true + 1) / 2) / (true * false))


def wrong_at(coverage: float) -> Callable[[Sequence[Case]], Value]:
    """Share wrong of the surest so many, with its interval: the surest are chosen anew in every resample."""

    def measure(cases: Sequence[Case]) -> Value:
        if not cases:
            return Value(None, None, 0)
        best = np.array([case.ranking().best for case in cases])
        wrong = np.array([not metrics_matching.is_right(case) for case in cases], float)
        chosen = int(np.ceil(round(coverage * len(cases), 9)))
        drawn = picks(len(cases))
        surest = np.take_along_axis(drawn, np.argsort(-best[drawn], axis=1, kind="stable")[:, :chosen], axis=1)
        value = metrics_matching.at_coverage(cases, coverage).wrong.value
        return Value(value, middle(wrong[surest].mean(axis=1)), len(cases))

    return measure


def first_of(ranker: str, first: int) -> Callable[[Sequence[Case]], Value]:
    """Share of the questions with an answer that have a right one among the first so many."""
    return summed(_shared(lambda case: metrics_matching.is_right(case, first, ranker), _has_answer), _ratio)


_FACTS = _counted(lambda case: metrics_facts.pair_facts(case).counts)
_HAZARDS = _counted(lambda case: metrics_hazards.pair_hazards(case).counts)

FIGURES: tuple[Figure, ...] = (
    Figure("closed facts, F1", summed(_FACTS, _f1), 0.97),
    Figure("same standing", summed(_standing, _ratio), 0.95, percent=True),
    Figure("symptoms, F1", summed(_symptoms, _f1), 0.90),
    Figure("work done, F1", summed(_one("work_done"), _f1), 0.90),
    Figure("modifications, F1", summed(_one("modification"), _f1), 0.90),
    Figure("measurements, F1", summed(_one("measurement"), _f1)),
    Figure("conflict seen, F1", summed(_counted(metrics_conflicts.seen), _f1)),
    Figure("intent", summed(_shared(lambda c: metrics_told.intent_read(c) == c.gold.intent), _ratio), percent=True),
    Figure("right answer first", first_of(PROGRAM, 1), 0.92, percent=True),
    Figure("right answer among three", first_of(PROGRAM, 3), 0.98, percent=True),
    Figure("\"none fits\", AUROC", none_fits(), 0.97),
    Figure("calibration error", summed(_gap_row, _calibration_error), 0.03, less_is_better=True),
    Figure("wrong of the surest 80 %", wrong_at(0.8), 0.01, percent=True, less_is_better=True),
    Figure("decision", summed(_shared(lambda c: c.gold.decision is c.reading.decision), _ratio), percent=True),
    Figure("dangers noted, recall", summed(_HAZARDS, _recall), 1.0),
    Figure("dangers noted, precision", summed(_HAZARDS, _precision), 0.90),
    Figure(
        "deciding fact asked first",
        summed(_shared(metrics_gaps.is_first, lambda case: bool(case.gold.deciding)), _ratio), 0.90, percent=True,
    ),
)  # fmt: skip

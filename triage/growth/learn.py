"""Learn the ranker from a shop's own work, starting from the shipped weights; kept only where it is truly better."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from zlib import crc32

import numpy as np

from triage.growth.learn_lessons import Became, Lesson, capped, people
from triage.growth.learn_logit import Bounds, Floats, Stack, fit, log_losses, stack
from triage.matching.conformal import threshold
from triage.matching.features import AGAINST, FEATURES
from triage.matching.rank import Ranker

FEWEST = 30  # lessons below which nothing is learned
FEWEST_OF_ONE = 5  # lessons of a person below which it is not asked whether they gain
WORTH = 100.0  # lessons the shipped weights count for: of 3 to 300 the best, or near it, in each of four shops held out
FOLDS = 5
RESAMPLES = 2000
MISS = 0.1  # of the set that is to hold the right answer
NEIGHBOUR = -1.0  # an answer for another vehicle loses at least this much, whatever a small sample says
_WIDTH = len(FEATURES)
# what a feature means fixes the sign of its weight
_SIGNS: Bounds = [(None, NEIGHBOUR) if name in AGAINST else (0.0, None) for name in FEATURES]
_NONE: Bounds = [(None, None), (0.0, None), (None, None)]  # none, elsewhere, nearest
_SCALE: Bounds = [(0.05, None)]
Part = Callable[[Lesson], object]


@dataclass(frozen=True, slots=True)
class Held:
    """How learning does on lessons it was not fitted on, beside the shipped ranker; log losses, less is better."""

    before: float
    after: float
    low: float  # 95 % interval of the gain, before - after
    high: float
    right_before: float  # share of lessons where the first choice may be right
    right_after: float

    @property
    def gain(self) -> float:
        """How much the log loss falls."""
        return self.before - self.after


@dataclass(frozen=True, slots=True)
class Learnt:
    """What came of learning: the ranker, how it was judged, and whether it is to be kept."""

    ranker: Ranker
    counts: Mapping[Became, int]
    persons: Mapping[str, float]  # who -> how much their lessons count together, of all (shares)
    by_thread: Held | None  # None for too few lessons
    gains: Mapping[str, float]  # who -> the fall in log loss on their lessons, learned from the others only
    keep: bool
    why: str


def learn(shipped: Ranker, lessons: Sequence[Lesson]) -> Learnt:
    """Fit on all lessons, judge on held-out ones, and say whether the outcome is worth keeping."""
    weighted = capped(lessons)
    counts, persons = Counter(item.feedback.became for item in lessons), _shares(weighted)
    if len(lessons) < FEWEST:
        why = f"there are {len(lessons)} lessons, and fewer than {FEWEST} teach nothing that can be checked"
        return Learnt(shipped, counts, persons, None, {}, keep=False, why=why)
    held, gains = held_out(shipped, weighted), gains_by_person(shipped, weighted)
    keep, why = verdict(held, gains)
    return Learnt(fitted(shipped, weighted), counts, persons, held, gains, keep, why)


def _shares(weighted: Sequence[Lesson]) -> dict[str, float]:
    total = sum(item.weight for item in weighted) or 1.0
    return {who: sum(i.weight for i in weighted if i.person == who) / total for who in people(weighted)}


def verdict(held: Held, gains: Mapping[str, float]) -> tuple[bool, str]:
    """Better beyond chance on threads not learned from, and for more than half of the people not learned from."""
    if held.low <= 0:
        return False, "on threads it had not seen the gain could be chance"
    better = sum(gain > 0 for gain in gains.values())
    if len(gains) > 1 and 2 * better <= len(gains):
        return False, f"learned from the others, it is better for {better} of {len(gains)} people only"
    return True, "it is better on threads it had not seen, beyond chance, and for more than half of the people"


def coefficients_of(ranker: Ranker) -> Floats:
    """The ranker as coefficients of the columns of a lesson; its temperature is counted in."""
    return np.array([*ranker.weights, ranker.none, ranker.elsewhere, ranker.nearest]) / ranker.temperature


def fitted(shipped: Ranker, lessons: Sequence[Lesson]) -> Ranker:
    """Weights from all lessons; temperature, none and the set's limit from scores the weights were not fitted on."""
    weights = _weights(shipped, lessons)
    apart = _scored_apart(shipped, lessons)
    scale, *none = _calibrated(shipped, apart)
    ranker = Ranker(
        tuple(weights[:_WIDTH].tolist()),
        none=float(none[0] / scale),
        elsewhere=float(none[1] / scale),
        nearest=float(none[2] / scale),
        temperature=float(1.0 / scale),
    )
    return replace(ranker, within=_limit(np.array([scale, *none]), apart, shipped.within))


def _weights(shipped: Ranker, lessons: Sequence[Lesson]) -> Floats:
    return fit(_stack(lessons), coefficients_of(shipped), WORTH, [*_SIGNS, *_NONE])


def _stack(lessons: Sequence[Lesson]) -> Stack:
    return stack([i.rows.matrix for i in lessons], [i.right for i in lessons], [i.weight for i in lessons])


def _scored_apart(shipped: Ranker, lessons: Sequence[Lesson]) -> Stack:
    """Lessons with their features summed up into one score by weights that never saw their thread."""
    scored: list[tuple[Lesson, Floats]] = []
    for part in sorted({by_thread(item) for item in lessons}):
        weights = _weights(shipped, [item for item in lessons if by_thread(item) != part])[:_WIDTH]
        scored += [(item, _summed(item, weights)) for item in lessons if by_thread(item) == part]
    return stack([rows for _, rows in scored], [i.right for i, _ in scored], [i.weight for i, _ in scored])


def _summed(item: Lesson, weights: Floats) -> Floats:
    matrix = item.rows.matrix
    return np.column_stack([matrix[:, :_WIDTH] @ weights, matrix[:, _WIDTH:]])


def _calibrated(shipped: Ranker, apart: Stack) -> Floats:
    known = np.array([1.0, *coefficients_of(shipped)[_WIDTH:]])
    return fit(apart, known, WORTH, [*_SCALE, *_NONE])


def _limit(calibration: Floats, apart: Stack, shipped: float) -> float:
    """The limit of the plausible set; the shipped one where there are too few right answers to tell."""
    last = np.append(apart.starts[1:], len(apart.rows)) - 1
    answered = ~apart.right[last]
    misses = 1.0 - np.exp(-log_losses(calibration, apart))
    limit = threshold(misses[answered].tolist(), MISS)
    return min(1.0, limit) if np.isfinite(limit) else shipped


def by_thread(item: Lesson) -> int:
    """The fold of a thread, by its number alone."""
    return crc32(str(item.thread).encode()) % FOLDS


def held_out(shipped: Ranker, lessons: Sequence[Lesson], part: Part = by_thread) -> Held:
    """The whole of learning, calibration included, judged on parts it never saw."""
    before, after, weights = _judged(shipped, lessons, part)
    gains = before[:, 0] - after[:, 0]
    low, high = _interval(gains, weights)
    means = np.average(np.hstack([before, after]), axis=0, weights=weights)
    return Held(means[0], means[2], low, high, means[1], means[3])


def gains_by_person(shipped: Ranker, lessons: Sequence[Lesson]) -> dict[str, float]:
    """The mean fall in log loss of each person's lessons when learned from all others; nothing for one person alone."""
    counted = Counter(item.person for item in lessons)
    result = {}
    for who in people(lessons):
        others = [item for item in lessons if item.person != who]
        if others and counted[who] >= FEWEST_OF_ONE:
            own = [item for item in lessons if item.person == who]
            losses = [_measured(ranker, own) for ranker in (shipped, fitted(shipped, others))]
            result[who] = float(np.average(losses[0][:, 0] - losses[1][:, 0], weights=[i.weight for i in own]))
    return result


def _judged(shipped: Ranker, lessons: Sequence[Lesson], part: Part) -> tuple[Floats, Floats, Floats]:
    """(lessons, loss and right) by the shipped ranker and by one that never saw the lesson's part; their weights."""
    before, after, weights = [], [], []
    for name in sorted({part(item) for item in lessons}, key=str):
        own = [item for item in lessons if part(item) == name]
        others = [item for item in lessons if part(item) != name]
        before.append(_measured(shipped, own))
        after.append(_measured(fitted(shipped, others), own) if others else before[-1])
        weights += [item.weight for item in own]
    return np.vstack(before), np.vstack(after), np.array(weights)


def _measured(ranker: Ranker, lessons: Sequence[Lesson]) -> Floats:
    coefficients = coefficients_of(ranker)
    losses = log_losses(coefficients, _stack(lessons))
    firsts = [float(i.right[int(np.argmax(i.rows.matrix @ coefficients))]) for i in lessons]
    return np.column_stack([losses, firsts])


def _interval(gains: Floats, weights: Floats) -> tuple[float, float]:
    """95 % percentile interval of the weighted mean (Efron & Tibshirani 1993, ch. 13)."""
    picks = np.random.default_rng(0).integers(0, len(gains), (RESAMPLES, len(gains)))
    means = (gains * weights)[picks].sum(axis=1) / weights[picks].sum(axis=1)
    low, high = np.percentile(means, [2.5, 97.5])
    return float(low), float(high)

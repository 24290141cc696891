"""What a question is worth on air, in plain points, and how alike two of them are.

A question's worth is the sum of
    use        up to 3: three askers with the same matter give 1.6, eight or more give 3 (log2 of their number)
    now        up to 2: how much it is asked at this time of the year (the pack's seasons)
    reasoning  up to 2: several causes in play, or things that do not fit together
    waiting    up to 2: a full two points after four weeks
    ready      up to 3 when there is an answer to give: 3 times how sure it is; 1 when there are only causes to tell
    carried    3 when it was on the last sheet and there was no time

Two questions on one sheet cost together
    1 for the same vehicle, 1.5 for the same part of the cart, 0.25 for the same depth.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import log2

from triage.language.stem import stem
from triage.segment.programme import Candidate

FULL_USE = 8  # askers
FULL_WAIT = 28  # days


@dataclass(frozen=True, slots=True)
class Weights:
    """Points for each part of a question's worth, and for what two questions have in common."""

    use: float = 3.0
    now: float = 2.0
    reasoning: float = 2.0
    waiting: float = 2.0
    ready: float = 3.0
    puzzle_only: float = 1.0  # instead of `ready`, where there is no answer but something to reason about
    carried: float = 3.0
    same_vehicle: float = 1.0
    same_system: float = 1.5
    same_depth: float = 0.25


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a question's worth, with the words for it."""

    points: float
    says: str


def parts(candidate: Candidate, weights: Weights) -> tuple[Part, ...]:
    """The parts that count for a question, most points first."""
    found = [part for part in _parts(candidate, weights) if part.points > 0]
    return tuple(sorted(found, key=lambda part: -part.points))


def worth(candidate: Candidate, weights: Weights) -> float:
    """All points of a question by itself."""
    return sum(part.points for part in _parts(candidate, weights))


def _parts(candidate: Candidate, weights: Weights) -> Iterator[Part]:
    use = min(1.0, log2(max(1, candidate.same)) / log2(FULL_USE))
    yield Part(weights.use * use, f"{candidate.same} people ask this")
    yield Part(weights.now * candidate.season, f"in season: {' and '.join(candidate.seasons)}")
    yield Part(weights.reasoning * candidate.puzzle, "there is something to reason about")
    waited = min(1.0, max(0, candidate.waiting_days) / FULL_WAIT)
    yield Part(weights.waiting * waited, f"has waited {_days(candidate.waiting_days)}")
    yield Part(weights.carried * candidate.carried, "carried over from the last programme")
    if candidate.answerable:
        yield Part(weights.ready * candidate.sure, "there is an answer to give")
    elif candidate.puzzle > 0:
        yield Part(weights.puzzle_only, "no answer yet, but causes to go through")


def _days(number: int) -> str:
    return "1 day" if number == 1 else f"{number} days"


def likenesses(candidate: Candidate, weights: Weights) -> dict[str, float]:
    """What a question may share with others, each with the points that every pair sharing it costs."""
    shared = {
        f"vehicle: {candidate.vehicle}": weights.same_vehicle if candidate.vehicle else 0.0,
        f"part: {system_key(candidate)}": weights.same_system if candidate.system else 0.0,
        f"depth: {candidate.depth.value}": weights.same_depth,
    }
    return {key: points for key, points in shared.items() if points > 0}


def system_key(candidate: Candidate) -> str:
    """The part of the cart, coarse: "battery pack" and "battery terminal" are one, "charger" and "charging" too."""
    words = candidate.system.split()
    return stem(words[0]) if words else ""


def cost_of_pair(one: Candidate, other: Candidate, weights: Weights) -> float:
    """What two questions on one sheet cost by being alike."""
    mine, theirs = likenesses(one, weights), likenesses(other, weights)
    return sum(points for key, points in mine.items() if key in theirs)


def total(chosen: tuple[Candidate, ...], weights: Weights) -> float:
    """The objective: the worth of all questions, less what every pair of them costs."""
    pairs = sum(cost_of_pair(a, b, weights) for i, a in enumerate(chosen) for b in chosen[:i])
    return sum(worth(one, weights) for one in chosen) - pairs

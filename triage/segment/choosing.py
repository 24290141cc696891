"""Choose the questions of a programme: the best set there is, found exactly, with locks and vetoes honoured.

    maximise    sum of worth(i) x(i)  -  sum over pairs of cost(i, j) x(i) x(j)
    such that   the minutes of the chosen fit the time less the reserve for live questions,
                at most one question of each topic is on, a locked one is on, whatever is kept out is not.

Questions that share something (a vehicle, a part, a depth) form a group, and every pair in it costs the same, so the
pairs of a group with k chosen cost c k (k - 1) / 2. That is convex in k: the lines through its neighbouring whole
numbers, c (m k - m (m + 1) / 2) for m = 1, 2, ..., lie under it and touch it at every whole k. One variable a group,
held above those lines, stands for all its pairs exactly. HiGHS (through scipy.optimize.milp) solves it by
branch and bound to proven optimality.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from triage.segment.programme import Candidate
from triage.segment.worth import Weights, likenesses, worth

EPSILON = 1e-6
SECONDS = 20.0  # more than the solver ever needed; it ends with an error, never with a guess


class CannotPlan(ValueError):
    """The locks cannot be honoured together; the message says which and why."""


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the host wants: threads that must be on, and threads that must not, with the reason given."""

    locked: frozenset[int] = frozenset()
    vetoed: Mapping[int, str] = field(default_factory=dict)


def choose(
    candidates: Sequence[Candidate],
    minutes: float,
    wishes: Wishes | None = None,
    weights: Weights | None = None,
) -> tuple[Candidate, ...]:
    """The set worth most that fits `minutes` (the reserve taken off already), in the order given.

    Candidates that are unsafe are kept out; those held back, aired, or with nothing to say are too unless they are
    locked. Raises CannotPlan.
    """
    wishes, weights = wishes or Wishes(), weights or Weights()
    check_locks(candidates, minutes, wishes)
    able = [one for one in candidates if may_be_on(one, wishes)]
    return _solved(able, minutes, wishes.locked, weights) if able else ()


def may_be_on(candidate: Candidate, wishes: Wishes) -> bool:
    """True when nothing keeps the question out."""
    if candidate.unsafe or candidate.thread in wishes.vetoed:
        return False
    return candidate.thread in wishes.locked or candidate.may_be_chosen


def check_locks(candidates: Sequence[Candidate], minutes: float, wishes: Wishes) -> None:
    """Raise CannotPlan, naming every lock that cannot be honoured and why."""
    known = {one.thread: one for one in candidates}
    troubles = [f"question {n} is not among those that could be on" for n in sorted(wishes.locked - known.keys())]
    locked = [known[n] for n in sorted(wishes.locked & known.keys())]
    troubles += [f"question {one.thread} must not be on: {'; '.join(one.unsafe)}" for one in locked if one.unsafe]
    both = sorted(wishes.locked & wishes.vetoed.keys())
    troubles += [f"question {n} is locked and vetoed at once" for n in both]
    needed = sum(one.minutes for one in locked)
    if needed > minutes + EPSILON:
        each = ", ".join(f"{one.thread} ({one.minutes:.1f} min)" for one in locked)
        troubles.append(f"the locked questions need {needed:.1f} minutes, and there are {minutes:.1f}: {each}")
    if troubles:
        raise CannotPlan(f"This cannot be planned: {'; '.join(troubles)}. Take a lock off, or give more minutes.")


def _solved(
    able: Sequence[Candidate], minutes: float, locked: frozenset[int], weights: Weights
) -> tuple[Candidate, ...]:
    from scipy.optimize import Bounds, LinearConstraint, milp

    groups = _groups(able, weights)
    count, size = len(able), len(able) + len(groups)
    gain = np.array([-worth(one, weights) for one in able] + [1.0] * len(groups))
    matrix, limit = _rows(able, groups, minutes, locked)
    lower = np.array([float(one.thread in locked) for one in able] + [0.0] * len(groups))
    upper = np.array([1.0] * count + [np.inf] * len(groups))
    found = milp(
        gain,
        constraints=LinearConstraint(matrix, -np.inf, limit),
        integrality=np.array([1] * count + [0] * len(groups)),
        bounds=Bounds(lower, upper),
        # with presolve on, some versions of HiGHS print a line of their own; it gains nothing at this size
        options={"time_limit": SECONDS, "mip_rel_gap": 0.0, "presolve": False},
    )
    if found.status != 0 or len(found.x) != size:
        raise CannotPlan(f"No programme could be worked out: {found.message}")
    return tuple(one for one, on in zip(able, found.x[:count], strict=True) if on > 0.5)


Group = tuple[float, list[int]]  # what a pair costs, and who is in it


def _groups(able: Sequence[Candidate], weights: Weights) -> list[Group]:
    """Everything that two or more of them share."""
    members: dict[tuple[str, float], list[int]] = defaultdict(list)
    for index, one in enumerate(able):
        for shared in likenesses(one, weights).items():
            members[shared].append(index)
    return [(points, inside) for (_, points), inside in members.items() if len(inside) > 1]


def _rows(
    able: Sequence[Candidate], groups: Sequence[Group], minutes: float, locked: frozenset[int]
) -> tuple[np.ndarray, np.ndarray]:
    """The constraints as rows of a matrix with their upper limits."""
    width = len(able) + len(groups)
    rows, limits = [_row(width, {i: one.minutes for i, one in enumerate(able)})], [minutes + EPSILON]
    for same in _topics(able, locked):
        rows.append(_row(width, dict.fromkeys(same, 1.0)))
        limits.append(max(1.0, float(sum(able[i].thread in locked for i in same))))
    most = int(minutes / max(EPSILON, min(one.minutes for one in able))) + 1  # questions on one sheet
    for number, (points, inside) in enumerate(groups):
        for m in range(1, min(len(inside), most + 1)):
            line = dict.fromkeys(inside, points * m)
            rows.append(_row(width, {**line, len(able) + number: -1.0}))
            limits.append(points * m * (m + 1) / 2)
    return np.array(rows), np.array(limits)


def _topics(able: Sequence[Candidate], locked: frozenset[int]) -> list[list[int]]:
    """Those of one topic: only one of them is said, unless the host locked more."""
    same: dict[str, list[int]] = defaultdict(list)
    for index, one in enumerate(able):
        same[one.topic or f"thread {one.thread}"].append(index)
    return [inside for inside in same.values() if len(inside) > 1]


def _row(width: int, values: Mapping[int, float]) -> np.ndarray:
    row = np.zeros(width)
    row[list(values)] = list(values.values())
    return row

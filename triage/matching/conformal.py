"""Split-conformal sets: as few answers as hold the right one with a promised chance."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import ceil, inf


def threshold(scores: Sequence[float], miss: float) -> float:
    """The score up to which an answer belongs to the set, so that it holds the right one with chance >= 1 - miss.

    `scores` are of right answers of questions nothing was fitted on, lower is better; infinite for too few of them.
    The ceil((n + 1)(1 - miss))-th smallest, in exact fractions: 20 x 0.9 must not become 19.

    >>> threshold([0.1, 0.2, 0.3, 0.4], 0.25)
    0.4
    """
    rank = ceil((len(scores) + 1) * (1 - Fraction(str(miss))))
    return sorted(scores)[rank - 1] if rank <= len(scores) else inf


def sets_of(shares: Sequence[float], limit: float) -> tuple[int, ...]:
    """Places of the choices whose score 1 - share is within the limit, likeliest first."""
    order = sorted(range(len(shares)), key=lambda i: -shares[i])
    return tuple(i for i in order if 1.0 - shares[i] <= limit)

"""The order of the chosen questions: a strong one first, and no two alike in a row where that can be helped."""

from __future__ import annotations

from collections.abc import Sequence

from triage.segment.programme import Candidate, Depth
from triage.segment.worth import Weights, cost_of_pair, worth


def in_order(chosen: Sequence[Candidate], weights: Weights) -> tuple[Candidate, ...]:
    """The questions as they are said.

    Opens with the one of most use that is no puzzle. After each, the next shares least with it; among those alike the
    one worth more comes first, so that what is dropped for want of time is worth least.
    """
    rest = sorted(chosen, key=lambda one: (-worth(one, weights), one.thread))
    if not rest:
        return ()
    first = min(rest, key=lambda one: (one.depth is Depth.PUZZLE, -one.same, rest.index(one)))
    ordered = [first]
    rest.remove(first)
    while rest:
        following = min(rest, key=lambda one: (cost_of_pair(one, ordered[-1], weights), rest.index(one)))
        ordered.append(following)
        rest.remove(following)
    return tuple(ordered)

"""Pair what was found with what is there: each with at most one other, the closest first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from eval.counts import Counts

T = TypeVar("T")
U = TypeVar("U")


@dataclass(frozen=True, slots=True)
class Paired(Generic[T, U]):
    """The pairs, and what stays alone on either side, each in the order given."""

    pairs: tuple[tuple[T, U], ...]
    missed: tuple[T, ...]
    false: tuple[U, ...]

    @property
    def counts(self) -> Counts:
        """The same as numbers."""
        return Counts(len(self.pairs), len(self.false), len(self.missed))


def pair(there: Sequence[T], found: Sequence[U], likeness: Callable[[T, U], float], least: float) -> Paired[T, U]:
    """Pair up the likest first; ties go to the earlier ones. Below `least` nothing is paired.

    >>> pair(["a", "b"], ["b", "c"], lambda x, y: float(x == y), 1.0).pairs
    (('b', 'b'),)
    """
    scored = [(-likeness(x, y), i, j) for i, x in enumerate(there) for j, y in enumerate(found)]
    taken_there: dict[int, int] = {}
    taken_found: set[int] = set()
    for score, i, j in sorted(scored):
        if -score >= least and i not in taken_there and j not in taken_found:
            taken_there[i] = j
            taken_found.add(j)
    return Paired(
        tuple((there[i], found[j]) for i, j in sorted(taken_there.items())),
        tuple(x for i, x in enumerate(there) if i not in taken_there),
        tuple(y for j, y in enumerate(found) if j not in taken_found),
    )


def pair_names(there: Sequence[str], found: Sequence[str]) -> Paired[str, str]:
    """Pair equal names, each counted once."""
    return pair(sorted(set(there)), sorted(set(found)), lambda x, y: float(x == y), 1.0)

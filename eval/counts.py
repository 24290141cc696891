"""Counts that add up, and shares with their uncertainty."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

Z95 = 1.959964  # two-sided 95 % of the normal distribution


@dataclass(frozen=True, slots=True)
class Counts:
    """Things found rightly, found wrongly, and missed.

    >>> Counts(3, 1, 2) + Counts(1, 0, 0)
    Counts(true=4, false=1, missed=2)
    """

    true: int = 0
    false: int = 0
    missed: int = 0

    def __add__(self, other: Counts) -> Counts:
        return Counts(self.true + other.true, self.false + other.false, self.missed + other.missed)

    @property
    def precision(self) -> float | None:
        """Share of what was found that is right; None when nothing was found."""
        found = self.true + self.false
        return self.true / found if found else None

    @property
    def recall(self) -> float | None:
        """Share of what is there that was found; None when nothing is there."""
        there = self.true + self.missed
        return self.true / there if there else None

    @property
    def f1(self) -> float | None:
        """Harmonic mean of precision and recall; None when nothing is there."""
        if not self.true + self.missed:
            return None
        return 2 * self.true / (2 * self.true + self.false + self.missed)


@dataclass(frozen=True, slots=True)
class Share:
    """So many of so many.

    >>> Share(45, 50).value
    0.9
    """

    part: int
    whole: int

    @property
    def value(self) -> float | None:
        """part / whole; None when there is nothing to share."""
        return self.part / self.whole if self.whole else None

    @property
    def interval(self) -> tuple[float, float] | None:
        """Wilson's 95 % interval; None when there is nothing to share.

        (p + z²/2n ± z √(p(1-p)/n + z²/4n²)) / (1 + z²/n), p = part/whole. Source: Wilson 1927.
        """
        if not self.whole:
            return None
        n, p = self.whole, self.part / self.whole
        centre = p + Z95**2 / (2 * n)
        reach = Z95 * sqrt(p * (1 - p) / n + Z95**2 / (4 * n**2))
        low, high = ((centre + side) / (1 + Z95**2 / n) for side in (-reach, reach))
        return max(0.0, low), min(1.0, high)


def share_of(rights: list[bool]) -> Share:
    """The share of the true ones."""
    return Share(sum(rights), len(rights))

"""How far two labelers agree beyond chance."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Sequence

import numpy as np

from eval.resample import Interval, middle, picks


def cohen_kappa(first: Sequence[Hashable], second: Sequence[Hashable]) -> float | None:
    """(agreed - by chance) / (1 - by chance); None where both use one and the same label throughout.

    Source: Cohen, "A coefficient of agreement for nominal scales", 1960.

    >>> cohen_kappa(["a", "a", "b", "b"], ["a", "b", "b", "b"])
    0.5
    """
    count = len(first)
    agreed = sum(one == other for one, other in zip(first, second, strict=True)) / count if count else 1.0
    ones, others = Counter(first), Counter(second)
    chance = sum(ones[label] * others[label] for label in ones) / count**2 if count else 1.0
    return None if chance == 1.0 else (agreed - chance) / (1.0 - chance)


def kappa_interval(first: Sequence[Hashable], second: Sequence[Hashable]) -> Interval | None:
    """95 % bootstrap interval of kappa over the things labelled."""
    if not first:
        return None
    numbers = {label: number for number, label in enumerate(dict.fromkeys([*first, *second]))}
    ones, others = (np.array([numbers[label] for label in labels]) for labels in (first, second))
    again = [cohen_kappa(ones[pick].tolist(), others[pick].tolist()) for pick in picks(len(first))]
    return middle(np.array([np.nan if value is None else value for value in again], np.float64))

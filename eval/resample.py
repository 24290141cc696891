"""How sure a mean is: percentiles of the means of many resamples."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

RESAMPLES = 2000
Interval = tuple[float, float]


def bootstrap(values: Sequence[float], seed: int = 0) -> Interval:
    """95 % percentile interval of the mean (Efron & Tibshirani, "An Introduction to the Bootstrap", 1993, ch. 13).

    Of differences between two ways on the same cases it is the paired interval. Raises ValueError without values.
    """
    if not values:
        raise ValueError("There is nothing to resample: give one value or more.")
    data = np.asarray(values, np.float64)
    picks = np.random.default_rng(seed).integers(0, len(data), (RESAMPLES, len(data)))
    low, high = np.percentile(data[picks].mean(axis=1), [2.5, 97.5])
    return float(low), float(high)


def mean_with(values: Sequence[float]) -> str:
    """Mean and interval as written in a report: "12.3 (10.1 to 14.6)"."""
    low, high = bootstrap(values)
    return f"{np.mean(values):.2f} ({low:.2f} to {high:.2f})"


def picks(count: int, seed: int = 0) -> NDArray[np.int64]:
    """RESAMPLES draws of as many cases as there are, with replacement, shape (RESAMPLES, count)."""
    return np.random.default_rng(seed).integers(0, count, (RESAMPLES, count))


def middle(values: NDArray[np.float64]) -> Interval | None:
    """The middle 95 % of resampled figures; None when in a resample in twenty nothing could be said."""
    said = values[~np.isnan(values)]
    if len(said) < 0.95 * len(values):
        return None
    low, high = np.percentile(said, [2.5, 97.5])
    return float(low), float(high)

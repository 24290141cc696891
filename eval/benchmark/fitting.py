"""How a time grows: the exponent b of time = a x size^b, fitted on logarithms."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np


def exponent(sizes: Sequence[float], times: Sequence[float]) -> float | None:
    """Least squares slope of log time over log size; None for fewer than two sizes.

    >>> round(exponent([1, 10, 100], [2, 20, 200]), 6)
    1.0
    """
    if len(set(sizes)) < 2:
        return None
    slope = np.polyfit(np.log(np.asarray(sizes, float)), np.log(np.asarray(times, float)), 1)[0]
    return round(float(slope), 6) + 0.0  # never -0

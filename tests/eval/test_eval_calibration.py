"""Calibration error by bins, and how well a score tells two kinds apart."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from eval.calibration import auroc, expected_error, largest_error, reliability

# Trade facts Q-11: bins (10 at 0.95, 9 right), (6 at 0.75, 3 right), (4 at 0.55, 2 right)
CONFIDENCES = [0.95] * 10 + [0.75] * 6 + [0.55] * 4
RIGHTS = [True] * 9 + [False] + [True] * 3 + [False] * 3 + [True] * 2 + [False] * 2


def test_expected_and_largest_calibration_error() -> None:
    # Guo et al. 2017; worked example Q-11: (0.5 + 1.5 + 0.2)/20
    bins = reliability(CONFIDENCES, RIGHTS)
    assert [(b.count, b.accuracy) for b in bins] == [(4, 0.5), (6, 0.5), (10, 0.9)]
    assert expected_error(bins) == pytest.approx(0.110, abs=1e-12)
    assert largest_error(bins) == pytest.approx(0.25, abs=1e-12)


def test_the_last_bin_includes_one() -> None:
    (only,) = reliability([1.0, 0.9], [True, True])
    assert (only.low, only.count) == (0.9, 2)


def test_without_predictions_there_is_no_error() -> None:
    assert expected_error([]) is None
    assert largest_error([]) is None


@given(st.lists(st.tuples(st.floats(0, 1), st.booleans()), min_size=1))
def test_the_error_is_a_share_and_never_above_the_largest(items: list[tuple[float, bool]]) -> None:
    bins = reliability([c for c, _ in items], [r for _, r in items])
    error, largest = expected_error(bins), largest_error(bins)
    assert sum(b.count for b in bins) == len(items)
    assert error is not None and largest is not None
    assert 0 <= error <= largest + 1e-12 <= 1 + 1e-9


def test_auroc_is_the_share_of_pairs_in_the_right_order() -> None:
    kinds, scores = [True, True, False, False, False], [0.9, 0.4, 0.4, 0.3, 0.8]
    pairs = list(product([0.9, 0.4], [0.4, 0.3, 0.8]))
    by_hand = sum((a > b) + 0.5 * (a == b) for a, b in pairs) / len(pairs)
    assert auroc(kinds, scores) == pytest.approx(by_hand)


def test_auroc_needs_both_kinds() -> None:
    assert auroc([True, True], [0.1, 0.2]) is None

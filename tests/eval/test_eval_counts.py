"""Counts add up; shares carry Wilson's interval."""

from __future__ import annotations

from math import sqrt

import pytest

from eval.counts import Z95, Counts, Share


def test_precision_recall_and_f1_by_hand() -> None:
    counts = Counts(true=6, false=2, missed=3)
    assert counts.precision == 6 / 8
    assert counts.recall == 6 / 9
    assert counts.f1 == pytest.approx(2 * (0.75 * 6 / 9) / (0.75 + 6 / 9))


@pytest.mark.parametrize(
    ("counts", "precision", "recall", "f1"),
    [
        pytest.param(Counts(), None, None, None, id="nothing-at-all"),
        pytest.param(Counts(false=2), 0.0, None, None, id="nothing-labelled-is-not-zero-recall"),
        pytest.param(Counts(missed=2), None, 0.0, 0.0, id="nothing-found"),
    ],
)
def test_without_gold_nothing_is_claimed(
    counts: Counts, precision: float | None, recall: float | None, f1: float | None
) -> None:
    assert (counts.precision, counts.recall, counts.f1) == (precision, recall, f1)


def test_counts_of_two_files_add_up() -> None:
    assert Counts(1, 2, 3) + Counts(4, 5, 6) == Counts(5, 7, 9)


# Wilson 1927 (trade facts Q-30); the figures are the worked examples Q-32.
@pytest.mark.parametrize(
    ("part", "whole", "low", "high"),
    [(45, 50, 0.7864, 0.9565), (8, 10, 0.4902, 0.9433), (0, 20, 0.0, 0.1611), (20, 20, 0.8389, 1.0)],
)
def test_wilson_interval(part: int, whole: int, low: float, high: float) -> None:
    assert Share(part, whole).interval == pytest.approx((low, high), abs=1e-4)


def test_wilson_stays_in_range_where_the_simple_interval_does_not() -> None:
    # the simple normal interval for 8 of 10 gives 0.552 to 1.048
    simple = 0.8 + Z95 * sqrt(0.8 * 0.2 / 10)
    interval = Share(8, 10).interval
    assert simple == pytest.approx(1.048, abs=5e-4)
    assert interval is not None and interval[1] < 1


def test_wilson_uses_the_share_not_the_number() -> None:
    # one stored page prints k where k/n belongs; the interval would not hold the share
    low, high = Share(3, 40).interval or (0.0, 0.0)
    assert low < 3 / 40 < high


def test_no_share_of_nothing() -> None:
    assert Share(0, 0).value is None
    assert Share(0, 0).interval is None

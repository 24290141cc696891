"""Answers worded alike for different vehicles share what the wording says; all shares by hand."""

from __future__ import annotations

import numpy as np
import pytest

from triage.gaps import Candidate, in_play
from triage.gaps.kin import ALIKE, APART, KIN, LEAST, meet

FORTY_EIGHT, THIRTY_SIX = {"pack_voltage": (48,)}, {"pack_voltage": (36,)}


def candidate(probability: float, scope, angle: float = 0.0) -> Candidate:
    return Candidate(probability, scope, vector=np.array([np.cos(angle), np.sin(angle)]))


def shares(*candidates: Candidate) -> list[float]:
    return [round(item.probability, 6) for item in in_play(candidates)]


def test_a_twin_for_another_vehicle_gets_a_share_of_the_likeness_and_the_sum_stays():
    both = shares(candidate(0.8, FORTY_EIGHT), candidate(0.0, THIRTY_SIX))
    assert both == pytest.approx([0.8 / (1 + KIN), 0.8 * KIN / (1 + KIN)], abs=1e-6)


@pytest.mark.parametrize(
    ("cosine", "lent"),
    [
        pytest.param(1.0, KIN, id="the-same-text"),
        pytest.param(ALIKE, KIN, id="alike"),
        pytest.param((APART + ALIKE) / 2, KIN / 2, id="half-way"),
        pytest.param(APART - 0.01, 0.0, id="about-something-else"),
    ],
)
def test_the_less_alike_the_less_is_lent(cosine, lent):
    found = in_play([candidate(0.6, FORTY_EIGHT), candidate(0.06, THIRTY_SIX, np.arccos(cosine))])
    assert found[1].probability / found[0].probability == pytest.approx(max(lent, 0.1))


def test_two_answers_for_the_same_vehicle_compete_by_their_wording_alone():
    assert shares(candidate(0.6, FORTY_EIGHT), candidate(0.1, FORTY_EIGHT)) == [0.6, 0.1]
    assert shares(candidate(0.6, FORTY_EIGHT), candidate(0.1, {})) == [0.6, 0.1]


def test_what_is_hardly_likely_is_no_longer_in_play():
    assert shares(candidate(0.6, {}), candidate(0.6 * LEAST / 2, {})) == [pytest.approx(0.6, abs=0.001)]
    assert in_play([]) == ()


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ({}, FORTY_EIGHT, True),
        ({"pack_voltage": (36, 48)}, {"pack_voltage": (48.0,)}, True),
        (FORTY_EIGHT, THIRTY_SIX, False),
        ({"year": (0, 2006)}, {"year": (2007, 9999)}, False),
        ({"year": (0, 2006)}, {"year": (2006, 9999)}, True),
        ({"model": ("Lark",), "year": (0, 2006)}, {"model": ("lark",), "year": (2007, 9999)}, False),
    ],
)
def test_ranges_meet_where_some_vehicle_may_be_in_both(one, other, expected):
    assert meet(one, other) is meet(other, one) is expected

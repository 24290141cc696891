"""Likeness worked by hand: votes of pieces, profiles of symptoms, twins, and conformal sets."""

from __future__ import annotations

from math import exp, inf, log, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.matching.conformal import sets_of, threshold
from triage.matching.likeness import FLOOR, best_of, profile_likeness, votes
from triage.matching.twins import merged


def test_the_best_row_counts_for_each_answer():
    cosines = np.array([[0.1], [0.7], [0.4]])
    assert best_of(cosines, np.array([0, 0, 2]), 3).ravel().tolist() == [0.7, 0.0, 0.4]


GREETING, TROUBLE = [0.5, 0.5, 0.5, 0.5], [0.0, 0.0, 0.0, 0.8]


def voted(*pieces: list[float]) -> np.ndarray:
    cosines = np.array(pieces).T
    return votes(cosines, cosines)


def test_a_piece_as_near_to_all_answers_shares_its_vote_evenly():
    assert voted(GREETING) == pytest.approx([log(1 + FLOOR)] * 4)


def test_a_piece_near_to_one_answer_gives_it_most_of_its_vote():
    share = exp(12 * 0.8) / (exp(12 * 0.8) + 3)
    assert voted(TROUBLE)[3] == pytest.approx(log(4 * share + FLOOR))


def test_a_greeting_beside_it_changes_who_leads_by_nothing():
    alone, both = voted(TROUBLE), voted(TROUBLE, GREETING)
    assert alone.argmax() == both.argmax() == 3 and both[3] < alone[3] and both[:3] == pytest.approx([both[0]] * 3)


@pytest.mark.parametrize("shape", [(0, 3), (3, 0)])
def test_without_answers_or_pieces_nobody_votes(shape):
    assert votes(np.zeros(shape), np.zeros(shape)).tolist() == [0.0] * shape[0]


@pytest.mark.parametrize(
    ("told", "expected"),
    [
        pytest.param([1.0, 0.0], [1.0, 1 / sqrt(2), 0.0], id="the-first-symptom"),
        pytest.param([0.0, 0.0], [0.0, 0.0, 0.0], id="none-told"),
        pytest.param([], [0.0, 0.0, 0.0], id="nothing-known"),
        pytest.param([0.0, 0.0, 1.0], [0.0, 0.0, 0.0], id="a-symptom-no-answer-tells"),
    ],
)
def test_profiles_are_compared_by_their_cosine(told, expected):
    profiles = np.array([[2.0, 0.0], [1.0, 1.0], [0.0, 0.0]], np.float32)
    assert profile_likeness(np.array(told, np.float32), profiles) == pytest.approx(expected)


SAME, OTHER = np.array([1.0, 0.0], np.float32), np.array([0.0, 1.0], np.float32)


@pytest.mark.parametrize(
    ("vectors", "scopes", "expected"),
    [
        pytest.param([SAME, SAME], [{}, {}], [0.7, 0.0], id="twins-join"),
        pytest.param([SAME, OTHER], [{}, {}], [0.4, 0.3], id="different-texts-stay-apart"),
        pytest.param(
            [SAME, SAME], [{"pack_voltage": (36.0,)}, {"pack_voltage": (48.0,)}], [0.4, 0.3], id="two-voltages"
        ),
        pytest.param([SAME, SAME], [{"pack_voltage": (36.0,)}, {}], [0.7, 0.0], id="one-of-them-for-all"),
        pytest.param(
            [SAME, SAME], [{"year": (1996, 2007)}, {"year": (2008, 9999)}], [0.4, 0.3], id="two-ranges-of-years"
        ),
        pytest.param([SAME, SAME], [{"year": (1996, 2008)}, {"year": (2008, 9999)}], [0.7, 0.0], id="years-that-meet"),
    ],
)
def test_only_twins_for_the_same_vehicles_share_a_vote(vectors, scopes, expected):
    assert merged([0.4, 0.3], np.stack(vectors), scopes) == pytest.approx(expected)


# Worked example: docs of split conformal prediction, ranks by hand.
SCORES = [.05, .08, .10, .12, .15, .18, .22, .25, .31, .40, .44, .47, .52, .58, .61, .66, .72, .79, .85]  # fmt: skip


@pytest.mark.parametrize(("miss", "expected"), [(0.10, 0.79), (0.20, 0.66), (0.05, 0.85), (0.01, inf)])
def test_the_threshold_is_the_ranked_score(miss, expected):
    assert threshold(SCORES, miss) == expected


@pytest.mark.parametrize(("miss", "fewest"), [(0.20, 4), (0.10, 9), (0.05, 19), (0.01, 99)])
def test_the_fewest_scores_that_give_a_finite_threshold(miss, fewest):
    assert threshold([0.5] * fewest, miss) == 0.5 and threshold([0.5] * (fewest - 1), miss) == inf


@given(st.lists(st.floats(0, 1), min_size=9, max_size=60))
def test_at_least_the_promised_share_lies_within(scores):
    limit = threshold(scores, 0.1)
    assert sum(score <= limit for score in scores) >= 0.9 * len(scores)


def test_a_set_holds_the_likeliest_first():
    assert sets_of([0.2, 0.5, 0.3], 0.75) == (1, 2)

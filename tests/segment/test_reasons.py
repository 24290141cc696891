"""Every question has a plain reason, on or out; the order opens well and keeps like things apart."""

from __future__ import annotations

from datetime import date

import pytest

from triage.segment.choosing import Wishes
from triage.segment.order import in_order
from triage.segment.programme import Depth
from triage.segment.reasons import MOST_SPARES, left_out, why_not, why_on
from triage.segment.worth import Weights, cost_of_pair, parts, worth

from .test_choosing import candidate

WEIGHTS = Weights()


@pytest.mark.parametrize(
    ("more", "points", "says"),
    [
        pytest.param({"sure": 1.0}, 3.0, "there is an answer to give", id="answer"),
        pytest.param({"same": 8}, 5.7, "8 people ask this", id="many"),
        pytest.param({"season": 1.0, "seasons": ("cold starts",)}, 4.7, "in season: cold starts", id="season"),
        pytest.param({"waiting_days": 14}, 3.7, "has waited 14 days", id="waits"),
        pytest.param({"waiting_days": 90}, 4.7, "has waited 90 days", id="no more than all of it"),
        pytest.param({"carried": True}, 5.7, "carried over from the last programme", id="carried"),
        pytest.param({"puzzle": 0.5}, 3.7, "there is something to reason about", id="puzzle"),
        pytest.param({"answerable": False, "puzzle": 0.5}, 2.0, "no answer yet, but causes to go through", id="causes"),
    ],
)
def test_worth_is_the_sum_of_its_parts(more, points, says):
    one = candidate(1, **more)
    assert worth(one, WEIGHTS) == pytest.approx(points)
    assert says in why_on(one, False, WEIGHTS)
    assert sum(part.points for part in parts(one, WEIGHTS)) == pytest.approx(points)


def test_a_lock_is_said_first():
    assert why_on(candidate(1), True, WEIGHTS).startswith("you locked it; ")


@pytest.mark.parametrize(
    ("one", "other", "points"),
    [
        ({"vehicle": "Lark"}, {"vehicle": "Lark"}, 1.25),
        ({"system": "battery pack"}, {"system": "battery"}, 1.75),
        ({"depth": Depth.SHORT}, {"depth": Depth.PUZZLE}, 0.0),
        ({"vehicle": ""}, {"vehicle": ""}, 0.25),
    ],
)
def test_what_two_questions_cost_together(one, other, points):
    assert cost_of_pair(candidate(1, **one), candidate(2, **other), WEIGHTS) == points


ON = candidate(1, vehicle="Lark", system="charger", same=4)


@pytest.mark.parametrize(
    ("one", "minutes_left", "says"),
    [
        (candidate(2, unsafe=("danger reported (smoke): answer it privately, now",)), 9.0, "danger reported"),
        (candidate(3), 9.0, "you took it out: heard it"),
        (candidate(2, aired=(date(2026, 11, 19),)), 9.0, "said on 2026-11-19"),
        (candidate(2, topic="topic 1"), 9.0, "the same matter as question 1, which is on"),
        (candidate(2, answerable=False), 9.0, "there is no answer yet, and too little to reason about"),
        (candidate(2, vehicle="Lark", system="charger", same=6), 9.0, "both are about the Lark and the same part"),
        (candidate(2, same=9, minutes=3.0), 1.5, "no room: it takes 3.0 minutes, and 1.5 are left"),
        (candidate(2), 9.0, r"worth less than what is on"),
    ],
)
def test_why_a_question_is_not_on(one, minutes_left, says):
    assert says in why_not(one, [ON], minutes_left, Wishes(vetoed={3: "heard it"}), WEIGHTS)


def test_spares_are_the_best_of_what_could_still_be_taken():
    others = [candidate(n, waiting_days=n) for n in range(2, 12)]
    left = left_out([ON, *others], [ON], 0.0, Wishes(), WEIGHTS)
    assert [one.candidate.thread for one in left if one.spare] == [11, 10, 9, 8, 7][:MOST_SPARES]
    assert len(left) == len(others)
    assert all(one.reason for one in left)


def test_like_questions_are_kept_apart():
    batteries = [candidate(n, system="battery", same=5 - n) for n in range(1, 3)]
    engines = [candidate(n, system="engine") for n in range(3, 5)]
    ordered = in_order([*batteries, *engines], WEIGHTS)
    assert [one.system for one in ordered] == ["battery", "engine", "battery", "engine"]


def test_opens_with_what_most_people_ask_and_not_with_a_puzzle():
    hard = candidate(1, same=9, depth=Depth.PUZZLE, puzzle=1.0)
    assert in_order([hard, candidate(2, same=3), candidate(3)], WEIGHTS)[0].thread == 2

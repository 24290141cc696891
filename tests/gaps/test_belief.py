"""The value of knowing a fact: against every vehicle, answer and cause added up by hand."""

from __future__ import annotations

import numpy as np
import pytest

from triage.gaps import Candidate
from triage.gaps.belief import ANY, CAUSE_WEIGHT, USUAL_COUNT, WORDING, believe, cause_gain, channel, gain
from triage.gaps.vehicles import State

ELECTRIC, PETROL = {"powertrain": "electric", "pack_voltage": 48}, {"powertrain": "petrol"}
STATES = (State(0.6, ELECTRIC), State(0.4, PETROL))
CANDIDATES = (
    Candidate(0.7, {"powertrain": ("electric",)}),
    Candidate(0.1, {"powertrain": ("petrol",)}),
    Candidate(0.1, {}),
)


def no_causes(values):
    return {}


def brute_force(name: str) -> float:
    """E[sum P(answer | value)^2] - sum P(answer)^2, from the joint distribution written out pair by pair."""
    joint: dict[tuple[str, int], float] = {}
    for state in STATES:
        fitting = {
            number: c.probability
            for number, c in enumerate(CANDIDATES)
            if all(state.values.get(fact) in allowed for fact, allowed in c.scope.items())
        }
        mass = sum(fitting.values())
        for number, p in fitting.items():
            joint[str(state.values[name]), number] = state.share * mass**WORDING * p / mass
    total = sum(joint.values())
    right = {number: sum(p for (_, n), p in joint.items() if n == number) / total for number in range(3)}
    shares = {value: sum(p for (v, _), p in joint.items() if v == value) / total for value, _ in joint}
    after = sum((p / total) ** 2 / shares[value] for (value, _), p in joint.items())
    return after - sum(p**2 for p in right.values())


def test_gain_is_that_of_every_vehicle_and_answer_added_up():
    belief = believe(STATES, CANDIDATES, no_causes, {})
    assert belief.answers.sum() == pytest.approx(1)
    found = gain(belief, np.ones((1, 2)), channel(belief, "powertrain"))
    assert found == pytest.approx(brute_force("powertrain")) and found > 0


def test_what_is_known_already_adds_nothing():
    belief = believe(STATES, CANDIDATES, no_causes, {})
    told = channel(belief, "powertrain")
    assert gain(belief, told, told) == pytest.approx(0)


def test_a_fact_that_half_the_vehicles_lack_tells_only_of_the_others():
    belief = believe(STATES, CANDIDATES, no_causes, {})
    assert gain(belief, np.ones((1, 2)), channel(belief, "pack_voltage")) == pytest.approx(0)


def test_the_right_cause_counts_beside_the_right_answer():
    """One answer for all, so that only the causes gain: from 0.6^2 + 0.4^2 = 0.52 to 1, by hand."""
    causes = {"electric": {"flat": 1.0}, "petrol": {"stale": 1.0}}
    belief = believe(STATES, [Candidate(1.0, {})], lambda values: causes[str(values["powertrain"])], {})
    found = gain(belief, np.ones((1, 2)), channel(belief, "powertrain"))
    assert found == pytest.approx(CAUSE_WEIGHT * 0.48)


@pytest.mark.parametrize(
    ("table", "expected"),
    [
        # sure test: 1 instead of 0.5
        pytest.param({"yes": {"a": 1.0, ANY: 0.0}, "no": {"a": 0.0, ANY: 1.0}}, 0.5, id="sure"),
        # max(0.5 x 0.9, 0.5 x 0.2) + max(0.5 x 0.1, 0.5 x 0.8) - 0.5 = 0.45 + 0.40 - 0.50
        pytest.param({"yes": {"a": 0.9, ANY: 0.2}, "no": {"a": 0.1, ANY: 0.8}}, 0.35, id="likely"),
        pytest.param({"yes": {"a": 0.5, ANY: 0.5}, "no": {"a": 0.5, ANY: 0.5}}, 0.0, id="tells-nothing"),
    ],
)
def test_a_fact_that_only_the_causes_bear_on(table, expected):
    belief = believe(STATES, [Candidate(1.0, {})], lambda _: {"a": 0.5, "b": 0.5}, {})
    assert cause_gain(belief, table) == pytest.approx(CAUSE_WEIGHT * expected)


def test_facts_the_catalogue_leaves_open_are_taken_apart_by_their_usual_shares():
    scope = {"controller": ("stock",)}
    usual = {"controller": {"stock": 0.85, "modified": 0.15}}
    belief = believe(STATES, [Candidate(1.0, scope), Candidate(1.0, {})], no_causes, usual)
    assert [state.values.get("controller") for state in belief.states] == ["stock", "modified", None]
    assert [state.share for state in belief.states] == pytest.approx([0.6 * 0.85, 0.6 * 0.15, 0.4])


def test_what_the_shop_wrote_for_a_model_moves_its_usual_shares():
    """A Dirichlet prior of USUAL_COUNT answers, one answer for this model alone, half a one for two, by hand."""
    states = [State(1.0, {"model": "Sorrel", "pack_voltage": 48})]
    sealed = Candidate(0.5, {"model": ("Sorrel",), "battery_chemistry": ("agm",)})
    watered = Candidate(0.5, {"model": ("Sorrel", "Lark"), "battery_chemistry": ("flooded",)})
    elsewhere = Candidate(0.5, {"model": ("Lark",), "battery_chemistry": ("flooded",)})
    usual = {"battery_chemistry": {"flooded": 0.8, "agm": 0.2}}
    belief = believe(states, [sealed, watered, elsewhere], no_causes, usual)
    total = USUAL_COUNT + 1 + 0.5
    expected = {"flooded": (USUAL_COUNT * 0.8 + 0.5) / total, "agm": (USUAL_COUNT * 0.2 + 1) / total}
    assert {s.values["battery_chemistry"]: s.share for s in belief.states} == pytest.approx(expected)

"""Checks in the order to make them: Heckerman, Breese & Rommelse, "Decision-theoretic troubleshooting", 1995."""

from __future__ import annotations

from itertools import permutations

import pytest

from triage.diagnosis import expected_cost, order_checks
from triage.diagnosis.checks import HAZARD_COST, TOOL_COST, WORKSHOP_COST, cost
from triage.model import CauseBelief
from triage.pack.schema import Check, Outcome

# Worked example (computed from the paper's rule): A loose cable, B throttle sender, C controller, D motor brushes.
EXAMPLE = {"A": (0.20, 5.0), "B": (0.30, 10.0), "C": (0.40, 40.0), "D": (0.10, 20.0)}


def check(id: str, minutes: float = 5.0, causes: tuple[str, ...] = (), **more: object) -> Check:
    outcome = Outcome(finding="bad", means="that is it", cause=(causes or (id,))[0])
    return Check(
        id=id, label=id, text=f"Look at {id}.", minutes=minutes, causes=list(causes or (id,)), outcomes=[outcome],
        **more,  # type: ignore[arg-type]
    )  # fmt: skip


def ecr(order: str) -> float:
    return expected_cost([EXAMPLE[name] for name in order])


BELIEFS = [CauseBelief(name, probability) for name, (probability, _) in EXAMPLE.items()]


def test_the_worked_example_comes_out_in_order_of_probability_over_cost():
    checks = [check(name, minutes) for name, (_, minutes) in EXAMPLE.items()]
    steps = order_checks(checks, BELIEFS, {})
    assert [step.check for step in steps] == ["A", "B", "C", "D"]
    assert [step.cost for step in steps] == [5.0, 10.0, 40.0, 20.0]


@pytest.mark.parametrize(
    ("order", "minutes"),
    [
        pytest.param("ABCD", 35.0, id="probability-over-cost"),
        pytest.param("BACD", 35.5, id="next-best"),
        pytest.param("CBAD", 49.5, id="by-probability-alone"),
        pytest.param("ABDC", 39.0, id="by-cheapness-alone"),
        pytest.param("DCBA", 62.0, id="worst"),
    ],
)
def test_expected_cost_of_the_worked_example(order, minutes):
    assert ecr(order) == pytest.approx(minutes)


def test_no_other_order_is_cheaper():
    costs = {"".join(order): ecr("".join(order)) for order in permutations("ABCD")}
    assert min(costs, key=costs.__getitem__) == "ABCD" and len(costs) == 24


def test_the_last_resort_is_paid_when_nothing_listed_is_the_fault():
    assert expected_cost([(0.5, 10.0), (0.3, 20.0)], last_resort=100.0) == pytest.approx(10 + 0.5 * 20 + 0.2 * 100)


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({}, 5.0),
        ({"tools": ["meter", "clamp"]}, 5.0 + 2 * TOOL_COST),
        ({"hazards": ["live_pack"]}, 5.0 + HAZARD_COST),
        ({"who": "workshop"}, 5.0 + WORKSHOP_COST),
    ],
    ids=["bare", "tools", "danger", "workshop"],
)
def test_tools_danger_and_a_workshop_cost(more, expected):
    assert cost(check("a", **more)) == expected


def test_free_and_safe_checks_come_before_tools_and_danger():
    checks = [
        check("probe", causes=("cable",), tools=["meter"], hazards=["live_pack"]),
        check("look", causes=("cable",)),
        check("lift", causes=("fuse",), who="workshop"),
    ]
    steps = order_checks(checks, [CauseBelief("cable", 0.5), CauseBelief("fuse", 0.4)], {})
    assert [step.check for step in steps] == ["look", "lift"]


def test_a_check_is_chosen_for_the_causes_earlier_ones_leave_open():
    checks = [check("both", causes=("a", "b")), check("only_a", 4.0, causes=("a",)), check("only_c", causes=("c",))]
    found = order_checks(checks, [CauseBelief("a", 0.4), CauseBelief("b", 0.3), CauseBelief("c", 0.2)], {})
    assert [step.check for step in found] == ["both", "only_c"]


@pytest.mark.parametrize(
    ("facts", "kept"),
    [({"powertrain": "petrol"}, False), ({"powertrain": "electric"}, True), ({}, True)],
    ids=["petrol", "electric", "not-known"],
)
def test_a_check_for_the_other_powertrain_is_left_out(facts, kept):
    steps = order_checks([check("a", powertrain="electric")], [CauseBelief("a", 0.9)], facts)
    assert bool(steps) == kept


def test_what_each_outcome_means_goes_with_the_check():
    (step,) = order_checks([check("a")], [CauseBelief("a", 0.9)], {})
    assert (step.cause, step.expected, step.text) == ("a", "bad: that is it", "Look at a.")


@pytest.mark.parametrize("causes", [[], [CauseBelief("elsewhere", 0.9)]], ids=["no-causes", "no-check-for-it"])
def test_no_cause_no_check(causes):
    assert order_checks([check("a")], causes, {}) == ()


@pytest.mark.parametrize(
    ("trouble", "minutes", "first"),
    [
        pytest.param({"tools": ["meter"]}, 10.0, "look", id="a-tool"),
        pytest.param({"hazards": ["live_pack"]}, 10.0, "look", id="a-danger"),
        pytest.param({"who": "workshop"}, 10.0, "look", id="a-workshop"),
        pytest.param({"tools": ["meter"]}, 1.0, "probe", id="clearly-better-value-wins"),
    ],
)
def test_of_near_equals_the_free_and_safe_check_goes_first(trouble, minutes, first):
    """The other check is made a tenth better in probability over cost, its trouble counted in: still a near tie."""
    probe = check("probe", minutes, causes=("a",), **trouble)
    share = 0.4 if minutes == 10.0 else 0.9
    look = check("look", cost(probe) if minutes == 10.0 else 30.0, causes=("b",))
    (step, *_) = order_checks([probe, look], [CauseBelief("a", share * 1.1), CauseBelief("b", share)], {})
    assert step.check == first

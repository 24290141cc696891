"""Which causes explain the symptoms: against brute force over every state of small networks."""

from __future__ import annotations

from itertools import product

import pytest

from triage.diagnosis import beliefs
from triage.diagnosis.causes import OTHER_PRIOR, REPLACED, SHOWN, TESTED_FINE, Evidence
from triage.pack.schema import Cause, Symptom


def symptom(id: str, leak: float = 0.01) -> Symptom:
    return Symptom(id=id, label=id, component="part", misbehaviour="fails", leak=leak)


SYMPTOMS = {item.id: item for item in (symptom("clicks", 0.02), symptom("slow", 0.05), symptom("smells", 0.01))}
CAUSES = (
    Cause(id="flat", label="flat pack", prior=0.3, symptoms={"slow": 0.8, "clicks": 0.1}, powertrain="electric"),
    Cause(id="solenoid", label="worn solenoid", prior=0.1, symptoms={"clicks": 0.7}, parts=["solenoid"]),
    Cause(id="cable", label="loose cable", prior=0.2, symptoms={"clicks": 0.4, "smells": 0.3, "slow": 0.2}),
)


def brute_force(present: set[str], absent: set[str]) -> dict[str, float]:
    """P(cause | symptoms) by adding up every way each symptom's parts may fire: its cause, and its leak.

    One fault at a time, a noisy-OR of cause and leak (Heckerman, Breese & Rommelse 1995); a fault that is not listed
    shows a symptom by its leak only.
    """
    joint = {cause.id: cause.prior * _likelihood(cause, present, absent) for cause in CAUSES}
    joint = {id: p for id, p in joint.items() if any(s in _by_id(id).symptoms for s in present)}
    unlisted = OTHER_PRIOR
    for name in present:
        unlisted *= SYMPTOMS[name].leak
    for name in absent:
        unlisted *= 1 - SYMPTOMS[name].leak
    total = sum(joint.values()) + unlisted
    return {id: p / total for id, p in joint.items()}


def _by_id(id: str) -> Cause:
    return next(cause for cause in CAUSES if cause.id == id)


def _likelihood(cause: Cause, present: set[str], absent: set[str]) -> float:
    total = 0.0
    names = sorted(present | absent)
    for fires in product([False, True], repeat=2 * len(names)):
        weight, fits = 1.0, True
        for number, name in enumerate(names):
            by_cause, by_leak = fires[2 * number], fires[2 * number + 1]
            p, leak = cause.symptoms.get(name, 0.0), SYMPTOMS[name].leak
            weight *= (p if by_cause else 1 - p) * (leak if by_leak else 1 - leak)
            fits = fits and (by_cause or by_leak) == (name in present)
        total += weight if fits else 0.0
    return total


@pytest.mark.parametrize(
    ("present", "absent"),
    [
        ({"clicks"}, set()),
        ({"slow"}, set()),
        ({"clicks", "slow"}, set()),
        ({"clicks"}, {"slow"}),
        ({"clicks"}, {"slow", "smells"}),
        ({"clicks", "slow", "smells"}, set()),
    ],
    ids=str,
)
def test_beliefs_are_those_of_every_state_added_up(present, absent):
    expected = {id: p for id, p in brute_force(present, absent).items() if p >= SHOWN}
    found = beliefs(CAUSES, SYMPTOMS, Evidence(frozenset(present), frozenset(absent)), {})
    assert {item.cause: item.probability for item in found} == pytest.approx(expected, abs=1e-4)


def test_one_cause_by_hand():
    """Prior 0.1, P(click | solenoid) = 1 - (1 - 0.7)(1 - 0.02) = 0.706; unlisted 0.05 x 0.02: 0.0706 / 0.0716."""
    (only,) = beliefs(CAUSES[1:2], SYMPTOMS, Evidence(frozenset({"clicks"})), {})
    assert only.probability == pytest.approx(0.0706 / 0.0716, abs=1e-4)


def test_likeliest_first():
    found = beliefs(CAUSES, SYMPTOMS, Evidence(frozenset({"clicks"})), {})
    assert [item.probability for item in found] == sorted((item.probability for item in found), reverse=True)


@pytest.mark.parametrize(
    ("evidence", "factor"),
    [
        (Evidence(frozenset({"clicks"}), replaced=frozenset({"solenoid"})), REPLACED),
        (Evidence(frozenset({"clicks"}), tested_fine=frozenset({"solenoid"})), TESTED_FINE),
    ],
    ids=["replaced", "tested-fine"],
)
def test_a_part_already_worked_on_is_less_likely_and_not_impossible(evidence, factor):
    before = {b.cause: b.probability for b in beliefs(CAUSES, SYMPTOMS, Evidence(frozenset({"clicks"})), {})}
    after = {b.cause: b.probability for b in beliefs(CAUSES, SYMPTOMS, evidence, {})}
    assert 0 < after["solenoid"] < before["solenoid"]
    odds_before, odds_after = (seen["solenoid"] / seen["cable"] for seen in (before, after))
    assert odds_after / odds_before == pytest.approx(factor, rel=0.01)


@pytest.mark.parametrize(
    ("facts", "possible"),
    [
        ({"powertrain": "petrol"}, {"solenoid", "cable"}),
        ({"powertrain": "electric"}, {"flat", "solenoid", "cable"}),
        ({}, {"flat", "solenoid", "cable"}),
    ],
    ids=["petrol", "electric", "not-known"],
)
def test_a_cause_of_the_other_powertrain_is_left_out(facts, possible):
    found = beliefs(CAUSES, SYMPTOMS, Evidence(frozenset({"clicks", "slow"})), facts)
    assert {item.cause for item in found} <= possible
    assert ("flat" in {item.cause for item in found}) == ("flat" in possible)


@pytest.mark.parametrize(
    ("value", "kept"), [(36, True), (36.0, True), (48, False), (None, True)], ids=["36", "36.0", "48", "not-known"]
)
def test_a_condition_speaks_only_against_a_known_value(value, kept):
    cause = Cause(id="old", label="old", prior=0.1, symptoms={"slow": 0.5}, when={"pack_voltage": ["36"]})
    facts = {} if value is None else {"pack_voltage": value}
    assert bool(beliefs([cause], SYMPTOMS, Evidence(frozenset({"slow"})), facts)) == kept


@pytest.mark.parametrize("causes", [CAUSES, ()], ids=["causes", "no-causes"])
def test_nothing_told_means_nothing_believed(causes):
    assert beliefs(causes, SYMPTOMS, Evidence(frozenset()), {}) == ()


def test_a_symptom_no_cause_explains_gives_none():
    assert beliefs((), SYMPTOMS, Evidence(frozenset({"slow"})), {}) == ()
    assert beliefs(CAUSES, SYMPTOMS, Evidence(frozenset({"unheard of"})), {}) == ()

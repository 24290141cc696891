"""What measurements come to, and how what was found moves the causes."""

from __future__ import annotations

from pathlib import Path

import pytest

from triage.diagnosis import Evidence, beliefs, ratios_of, readings_of, settled, speaks
from triage.diagnosis.evidence import ANY, holds
from triage.model import Fact, Standing
from triage.pack import load
from triage.pack.schema import Cause, Finding, Symptom

KNOWLEDGE = Path(__file__).parents[2] / "knowledge"


def measured(value, unit: str = "V", what: str = "each battery", condition: str = "", **more) -> Fact:
    return Fact("measurement", value, unit, what=what, condition=condition, **more)


def loaded(fact: Fact) -> bool:
    return "pedal" in fact.condition


# Bounds of the physics room: deep-cycle maker's FAQ, 0.15 V between 6 V batteries and 0.30 V between 12 V ones;
# "State Of Charge - SOC Measurement": a rested flooded 36 V pack is full at 38.2 V and a quarter full near 35.9 V.
@pytest.mark.parametrize(
    ("facts", "held", "found"),
    [
        pytest.param([measured((6.3, 6.3, 5.7, 6.3))], {}, {"one_low_unit"}, id="one-stands-out"),
        pytest.param([measured((6.31, 6.30, 6.29, 6.31))], {}, {"units_alike"}, id="alike"),
        pytest.param([measured((6.30, 6.30, 6.16))], {}, {"units_alike"}, id="0.14-is-fine-for-6-V"),
        pytest.param([measured((6.30, 6.30, 6.14))], {}, {"one_low_unit"}, id="0.16-is-not"),
        pytest.param([measured((12.70, 12.70, 12.45))], {}, {"units_alike"}, id="0.25-is-fine-for-12-V"),
        pytest.param([measured((6.3, 5.7))], {}, set(), id="two-do-not-tell-which"),
        pytest.param([measured((6.3, 6.3, 5.7), condition="pedal down")], {}, set(), id="under-load"),
        pytest.param([measured(35.1, what="pack voltage")], {"pack_voltage": 36}, {"pack_flat"}, id="flat"),
        pytest.param([measured(19.0, what="pack voltage")], {"pack_voltage": 36}, {"pack_flat"}, id="below-the-table"),
        pytest.param([measured(36.7, what="pack voltage")], {"pack_voltage": 36}, set(), id="half"),
        pytest.param([measured(37.9, what="pack voltage")], {"pack_voltage": 36}, {"pack_charged"}, id="charged"),
        pytest.param([measured(37.9, what="pack voltage")], {}, set(), id="pack-not-known"),
        pytest.param(
            [measured(30.0, what="pack voltage", condition="pedal pressed")], {"pack_voltage": 36}, {"pack_sags"},
            id="sags",
        ),
        pytest.param(
            [measured(35.1, what="pack voltage", condition="pedal pressed")], {"pack_voltage": 36}, set(),
            id="holds-up",
        ),
        pytest.param([measured((1.265, 1.265, 1.21), "sg")], {}, {"gravity_uneven"}, id="cells-differ"),
        pytest.param([measured((1.10, 1.11, 1.10), "sg")], {}, {"gravity_low"}, id="acid-weak"),
        pytest.param(
            [measured((6.3, 6.3, 5.7))], {"battery_chemistry": "lithium"}, set(), id="no-table-for-lithium"
        ),
        pytest.param([measured(35.1, what="pack voltage")], {"pack_voltage": 37}, set(), id="no-such-pack"),
        pytest.param([measured((6.3, 6.3, 5.7), standing=Standing.PAST)], {}, set(), id="last-year"),
        pytest.param([measured((6.3, 6.3, 5.7), vehicle=2)], {}, set(), id="the-other-cart"),
    ],
)  # fmt: skip
def test_what_measurements_come_to(facts, held, found):
    assert readings_of(facts, held, loaded) == found


LOW = Finding(id="low", label="low", reading="one_low_unit", ratios={"bad": 8.0}, unless=["one_low"])
OLD = Finding(id="old", label="old", fact="battery_age", low=6, ratios={"worn": 2.0, "bad": 1.5})
AC = Finding(id="ac", label="ac", fact="controller_type", values=["ac"], ratios={"brushes": 0.02})


@pytest.mark.parametrize(
    ("finding", "facts", "readings", "expected"),
    [
        (LOW, {}, {"one_low_unit"}, True),
        (LOW, {}, {"units_alike"}, False),
        (OLD, {"battery_age": 6}, set(), True),
        (OLD, {"battery_age": 5.9}, set(), False),
        (OLD, {"battery_age": "old"}, set(), False),
        (OLD, {}, set(), False),
        (AC, {"controller_type": "ac"}, set(), True),
        (AC, {"controller_type": "series"}, set(), False),
    ],
)
def test_when_a_finding_holds(finding, facts, readings, expected):
    assert holds(finding, facts, readings) == expected


@pytest.mark.parametrize(
    ("facts", "readings", "symptoms", "ratios"),
    [
        ({}, {"one_low_unit"}, set(), {"bad": 8.0}),
        ({"battery_age": 7}, {"one_low_unit"}, set(), {"bad": 12.0, "worn": 2.0}),
        ({}, {"one_low_unit"}, {"one_low"}, {}),
        ({}, set(), set(), {}),
    ],
    ids=["one", "two-multiply", "told-as-a-symptom-counts-once", "none"],
)
def test_ratios_of_what_holds(facts, readings, symptoms, ratios):
    assert ratios_of([LOW, OLD, AC], facts, readings, symptoms) == ratios


def test_a_ratio_multiplies_the_odds():
    symptoms = {"slow": Symptom(id="slow", label="slow", component="drive", misbehaviour="slow")}
    causes = [Cause(id=id, label=id, prior=0.1, symptoms={"slow": 0.5}) for id in ("bad", "worn")]
    before, after = (
        {b.cause: b.probability for b in beliefs(causes, symptoms, Evidence(frozenset({"slow"}), ratios=r), {})}
        for r in ({}, {"bad": 8.0})
    )
    assert (after["bad"] / after["worn"]) / (before["bad"] / before["worn"]) == pytest.approx(8, rel=0.01)


def test_a_fact_with_all_its_values_told_of_speaks_of_the_causes():
    """0.5 x 0.1 against 0.5 x 1.9, by hand; what each cause shows adds up to 1."""
    yes = Finding(id="y", label="y", fact="solenoid_click", values=["yes"], ratios={"coil": 0.1})
    no = Finding(id="n", label="n", fact="solenoid_click", values=["no"], ratios={"coil": 1.9})
    table = speaks([yes, no, OLD])["solenoid_click"]
    assert table["yes"] == pytest.approx({"coil": 0.05, ANY: 0.5})
    assert table["no"] == pytest.approx({"coil": 0.95, ANY: 0.5})


def test_what_a_told_symptom_tells_as_well_need_not_be_asked():
    turns = Finding(id="t", label="t", fact="engine_turns", values=["yes"], unless=["cranks_no_start"], ratios={"a": 2})
    assert settled([turns], {"cranks_no_start"}) == {"engine_turns"}
    assert settled([turns], {"slow"}) == frozenset()


@pytest.fixture(scope="module")
def pack():
    return load(KNOWLEDGE)


@pytest.mark.parametrize(
    ("symptom", "facts", "reading", "cause", "direction"),
    [
        ("slow", {}, "one_low_unit", "one_bad_battery", "up"),
        ("slow", {}, "units_alike", "one_bad_battery", "down"),
        ("slow", {}, "pack_flat", "flat_pack", "up"),
        ("slow", {}, "pack_charged", "flat_pack", "down"),
        ("slow_uphill", {}, "pack_sags", "weak_batteries", "up"),
        ("short_range", {}, "gravity_uneven", "one_bad_battery", "up"),
        ("short_range", {"battery_age": 8}, "", "weak_batteries", "up"),
        ("short_range", {"battery_age": 0.5}, "", "weak_batteries", "down"),
        ("slow", {"controller_type": "ac"}, "", "motor_brushes", "down"),
    ],
)
def test_the_shipped_evidence_moves_the_cause_it_should(pack, symptom, facts, reading, cause, direction):
    ratios = ratios_of(pack.evidence.values(), facts, {reading})
    before, after = (
        {
            b.cause: b.probability
            for b in beliefs(
                pack.causes.values(), pack.symptoms, Evidence(frozenset({symptom}), ratios=r),
                {"powertrain": "electric"}, least=0.0,
            )
        }
        for r in ({}, ratios)
    )  # fmt: skip
    assert after[cause] > before[cause] if direction == "up" else after[cause] < before[cause]

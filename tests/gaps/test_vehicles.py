"""Which vehicles it may be, and what is safely known whichever it is."""

from __future__ import annotations

import pytest
from toys import fact, held

from triage.facts.catalogue import vehicle_value
from triage.gaps import situation
from triage.gaps.vehicles import DOUBTED, PLAIN
from triage.model import Standing
from triage.pack.schema import Vehicle


def vehicle(model: str, **more) -> Vehicle:
    return Vehicle(id=model.lower().replace(" ", "-"), make="Orrin", model=model, **{"powertrain": "electric", **more})


VEHICLES = (
    vehicle("Moth", pack_voltage=36, batteries="6x6", battery_chemistry="flooded", year_from=1996, year_to=2005),
    vehicle("Moth 48", pack_voltage=48, batteries="6x8", battery_chemistry="flooded", year_from=2006, year_to=2015),
    vehicle("Moth P", powertrain="petrol", year_from=1996, year_to=2015),
    vehicle("Heron", pack_voltage=72, batteries="12x6", battery_chemistry="flooded", year_from=2010, year_to=2019),
)


def listed(name: str, value) -> object:
    return fact(name, value, Standing.INFERRED, basis="catalogue: Orrin Moth")


def models(*facts, **more) -> set[str]:
    return {str(s.values.get("model")) for s in situation(held(*facts), VEHICLES, vehicle_value, **more).states}


@pytest.mark.parametrize(
    ("facts", "found"),
    [
        pytest.param([], {"Moth", "Moth 48", "Moth P", "Heron"}, id="nothing-told"),
        pytest.param([fact("model", "Moth")], {"Moth", "Moth 48", "Moth P"}, id="a-plain-name-and-its-longer-ones"),
        pytest.param([fact("model", "Moth 48")], {"Moth 48"}, id="a-full-name"),
        pytest.param([fact("model", "Moth"), fact("pack_voltage", 48)], {"Moth 48"}, id="volts-tell-which"),
        pytest.param([fact("model", "Moth"), fact("powertrain", "petrol")], {"Moth P"}, id="fuel-tells-which"),
        pytest.param([fact("model", "Moth"), fact("battery_count", 6)], {"Moth", "Moth 48"}, id="petrol-has-no-pack"),
        pytest.param([fact("model", "Moth"), fact("battery_voltage", 8)], {"Moth 48"}, id="no-engine-starts-on-8-V"),
        pytest.param([fact("model", "Moth"), fact("battery_voltage", 12)], {"Moth P"}, id="an-engine-starts-on-12-V"),
        pytest.param([fact("model", "Moth"), fact("year", 2012)], {"Moth 48", "Moth P"}, id="year-tells-which"),
        pytest.param([fact("make", "Zemm"), fact("pack_voltage", 72)], {"None"}, id="unlisted-make-is-like-others"),
    ],
)
def test_the_vehicles_that_fit(facts, found):
    assert models(*facts) == found


def test_what_was_denied_is_left_out():
    assert models(fact("model", "Moth"), denied={"powertrain": {"petrol"}}) == {"Moth", "Moth 48"}


def test_shares_add_up_and_the_plain_name_is_the_likelier():
    states = situation(held(fact("model", "Moth")), VEHICLES, vehicle_value).states
    shares = {str(state.values["model"]): state.share for state in states}
    assert sum(shares.values()) == pytest.approx(1)
    assert shares["Moth 48"] / shares["Moth"] == pytest.approx(PLAIN)


def test_a_hedged_value_is_doubted_not_believed():
    states = situation(held(fact("pack_voltage", 36, Standing.HEDGED)), VEHICLES, vehicle_value).states
    shares = {str(state.values["model"]): state.share for state in states if "pack_voltage" in state.values}
    assert shares["Heron"] / shares["Moth"] == pytest.approx(DOUBTED)


@pytest.mark.parametrize(
    ("facts", "firm"),
    [
        pytest.param(
            [fact("model", "Moth"), listed("powertrain", "electric"), listed("pack_voltage", 36)],
            {"model"},
            id="a-plain-name-tells-neither-fuel-nor-volts",
        ),
        pytest.param(
            [fact("model", "Moth"), fact("battery_count", 6), listed("powertrain", "electric")],
            {"model", "battery_count", "powertrain"},
            id="all-that-fit-are-at-one",
        ),
        pytest.param(
            [fact("model", "Moth 48"), listed("pack_voltage", 48)], {"model", "pack_voltage"}, id="a-full-name-tells"
        ),
        pytest.param(
            [fact("make", "Zemm"), fact("model", "Gull"), fact("year", 2012)], {"year"}, id="an-unlisted-name-is-open"
        ),
    ],
)
def test_what_is_safely_known(facts, firm):
    assert situation(held(*facts), VEHICLES, vehicle_value).firm.keys() == firm


def test_facts_that_fit_no_vehicle_still_leave_some():
    """36 V told of a 72 V vehicle: something was changed, or told wrongly."""
    assert models(fact("model", "Heron"), fact("pack_voltage", 36)) == {"Heron"}


@pytest.mark.parametrize(
    ("cuts", "years"),
    [((), {"2006-2015"}), ((2010,), {"2006-2009", "2010-2015"}), ((1990, 2030), {"2006-2015"})],
    ids=["none", "inside", "outside"],
)
def test_years_are_taken_apart_where_another_answer_begins(cuts, years):
    states = situation(held(fact("model", "Moth 48")), VEHICLES, vehicle_value, cuts=cuts).states
    assert {state.values["year"] for state in states} == years
    assert sum(state.share for state in states) == pytest.approx(1)

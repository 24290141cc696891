"""Facts built by hand: standing, vehicles, excuses and numbers, each exactly as the rule must take them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from triage.conflicts import find_conflicts
from triage.model import Fact, FactValue, Standing
from triage.pack import Pack

LARK = (Fact("make", "Tarvik"), Fact("model", "Lark"))
COURIER = (Fact("make", "Quenby"), Fact("model", "Courier"))
DOT = (Fact("make", "Merrow"), Fact("model", "Dot"))


def volts(value: FactValue, what: str = "pack voltage", condition: str = "at rest") -> Fact:
    """A reading."""
    return Fact("measurement", value, "V", what=what, condition=condition)


def pack_of(value: float) -> Fact:
    return Fact("pack_voltage", value, "V")


CASES = [
    # arithmetic, K-01 to K-05 (worked out)
    ((pack_of(48), Fact("battery_count", 8), Fact("battery_voltage", 12, "V")), ["voltage_against_batteries"]),
    ((pack_of(48), Fact("battery_count", 8), Fact("battery_voltage", 6, "V")), []),
    ((pack_of(48), Fact("battery_count", 5)), ["voltage_against_count"]),
    ((pack_of(48), Fact("battery_count", 12)), []),  # two strings of six
    ((pack_of(36), Fact("battery_voltage", 8, "V")), ["voltage_against_unit"]),  # K-02: 4.5 batteries
    ((pack_of(48), Fact("battery_count", 2), Fact("battery_chemistry", "flooded")), ["too_few_batteries"]),
    ((pack_of(48), Fact("battery_count", 2), Fact("battery_chemistry", "lithium")), []),
    ((pack_of(48), Fact("battery_count", 2)), []),  # an unknown kind may be lithium
    ((Fact("caps", 4), Fact("battery_voltage", 6, "V")), ["caps_against_voltage"]),
    ((Fact("caps", 3), Fact("battery_voltage", 6, "V")), []),
    ((Fact("caps", 5), Fact("battery_voltage", 6, "V")), []),  # no battery has five: nothing is known
    # charger: label voltages, worked out from B-81
    ((pack_of(48), Fact("charger_voltage", 58.4, "V")), []),
    ((pack_of(48), Fact("charger_voltage", 36, "V")), ["charger_against_pack"]),
    ((Fact("battery_chemistry", "agm"), Fact("charger_mode", "equalising")), []),
    ((Fact("battery_chemistry", "gel"), Fact("charger_mode", "equalising")), ["charger_against_chemistry"]),
    # full charge against rest voltage: "State Of Charge - SOC Measurement", 50 % is 24 x 2.040 = 48.96 V
    (
        (pack_of(48), Fact("battery_chemistry", "flooded"), volts(48.8, condition="fully charged")),
        ["full_against_rest_voltage"],
    ),
    ((pack_of(48), Fact("battery_chemistry", "flooded"), volts(49.1, condition="fully charged")), []),
    ((pack_of(48), Fact("battery_chemistry", "lithium"), volts(48.8, condition="fully charged")), []),
    ((pack_of(48), Fact("battery_chemistry", "agm"), volts(48.8, condition="fully charged")), []),
    ((pack_of(48), volts(48.8, condition="fully charged")), []),  # the kind is not known
    (
        (
            Fact("battery_voltage", 12, "V"),
            Fact("battery_chemistry", "flooded"),
            volts(11.9, "battery voltage", "after a full charge, fully charged"),
        ),
        ["full_against_rest_voltage"],
    ),
    # two readings; full to flat is 6 % at rest
    ((volts(50.9), volts(43.0)), ["two_pack_readings"]),
    ((volts(50.9), volts(48.5)), []),
    ((volts(50.9), volts(43.0, condition="under load")), []),
    ((volts(50.9, condition=""), volts(43.0, condition="")), []),  # before and after, perhaps
    # hydrometer: 1.265 is full in both tables, 11.9 V is flat
    (
        (
            Fact("battery_voltage", 12, "V"),
            Fact("battery_chemistry", "flooded"),
            volts(11.9, "battery voltage"),
            Fact("measurement", 1.265, "sg", what="specific gravity"),
        ),
        ["gravity_against_voltage"],
    ),
    (
        (
            Fact("battery_voltage", 12, "V"),
            Fact("battery_chemistry", "flooded"),
            volts(12.5, "battery voltage"),
            Fact("measurement", 1.235, "sg", what="specific gravity"),
        ),
        [],
    ),
    # single readings of the batteries
    ((Fact("battery_count", 6), volts((6.3,) * 6, "each battery")), []),
    ((Fact("battery_count", 6), volts((6.3,) * 5, "each battery")), ["readings_against_count"]),
    ((volts((6.3,) * 6, "each battery"), volts(37.9)), []),
    ((volts((6.3,) * 6, "each battery"), volts(31.5)), ["readings_against_pack"]),
    ((volts((6.3,) * 6, "each battery"), volts(31.5, condition="under load")), []),
    ((Fact("battery_voltage", 6, "V"), volts(8.4, "battery voltage")), ["reading_above_battery"]),
    ((Fact("battery_voltage", 6, "V"), volts(7.9, "battery voltage", "on charge")), []),  # 2.7 x 3 = 8.1 V
    # speed: listed 15 mph at most in the Lark of lead, x 1.25 (common practice); 22 in tyres make 22/18 of it (S-09)
    ((*LARK, Fact("year", 2012), Fact("top_speed", 18.7, "mph")), []),
    ((*LARK, Fact("year", 2012), Fact("top_speed", 19, "mph")), ["speed_beyond_stock"]),
    ((*LARK, Fact("year", 2012), Fact("top_speed", 22, "mph"), Fact("tyre_size", 22, "in")), []),
    ((*LARK, Fact("year", 2012), Fact("top_speed", 24, "mph"), Fact("tyre_size", 22, "in")), ["speed_beyond_stock"]),
    ((*LARK, Fact("year", 2012), Fact("top_speed", 24, "mph"), Fact("modification", "bigger tyres")), []),
    # clearance: 18 in, and 2.5 in without a lift (a retailer's page)
    ((*LARK, Fact("tyre_size", "20x10-10"), Fact("lift", 0, "in", Standing.DENIED)), []),
    ((*LARK, Fact("tyre_size", "22x11-10"), Fact("lift", 0, "in", Standing.DENIED)), ["tyre_against_lift"]),
    ((*LARK, Fact("tyre_size", "22x11-10"), Fact("lift", 3, "in")), []),
    ((*LARK, Fact("tyre_size", "22x11-10")), []),  # no word of a lift is a gap
    ((*COURIER, Fact("tyre_size", 23, "in"), Fact("lift", 0, "in", Standing.DENIED)), []),  # stock is 22 in
    ((*LARK, Fact("tyre_size", 20.5, "in"), Fact("lift", 0, "in", Standing.DENIED)), []),
    ((*LARK, Fact("tyre_size", 20.6, "in"), Fact("lift", 0, "in", Standing.DENIED)), ["tyre_against_lift"]),
    ((*LARK, Fact("tyre_size", 23.5, "in"), Fact("lift", 3, "in")), []),
    ((*LARK, Fact("tyre_size", 23.6, "in"), Fact("lift", 3, "in")), ["tyre_against_lift"]),
    # margins at their edges: sum 3 % of 37.8 V, two readings 8 % of 50 V, a gap of 50 % below 87.5 % (gravity 1.265
    # in the army table) which is 12.15 V ("State Of Charge - SOC Measurement")
    ((volts((6.3,) * 6, "each battery"), volts(36.7)), []),
    ((volts((6.3,) * 6, "each battery"), volts(36.6)), ["readings_against_pack"]),
    ((volts(50.0), volts(46.1)), []),
    ((volts(50.0), volts(45.9)), ["two_pack_readings"]),
    (
        (
            Fact("battery_voltage", 12, "V"),
            Fact("battery_chemistry", "flooded"),
            volts(12.16, "battery voltage"),
            Fact("measurement", 1.265, "sg", what="specific gravity"),
        ),
        [],
    ),
    (
        (
            Fact("battery_voltage", 12, "V"),
            Fact("battery_chemistry", "flooded"),
            volts(12.14, "battery voltage"),
            Fact("measurement", 1.265, "sg", what="specific gravity"),
        ),
        ["gravity_against_voltage"],
    ),
    ((*DOT, Fact("controller_current", 219, "A"), Fact("controller", "stock")), []),
    ((*DOT, Fact("controller_current", 221, "A"), Fact("controller", "stock")), ["current_against_stock"]),
    # stud, T-01 to T-06
    ((*LARK, Fact("wheel_stud", "M12x1.5")), ["stud_against_model"]),
    ((*LARK, Fact("wheel_stud", "1/2-20")), []),
    # controller
    ((*DOT, Fact("controller_current", 300, "A"), Fact("controller", "stock")), ["current_against_stock"]),
    ((*DOT, Fact("controller_current", 200, "A"), Fact("controller", "stock")), []),
    ((*DOT, Fact("controller_current", 300, "A")), []),  # nobody said it is the stock one
]


@pytest.mark.parametrize(("facts", "expected"), CASES)
def test_facts_against_each_other(demo: Pack, facts: tuple[Fact, ...], expected: list[str]) -> None:
    assert [conflict.id for conflict in find_conflicts(facts, demo)] == expected


@pytest.mark.parametrize("standing", [Standing.DENIED, Standing.PLANNED, Standing.PAST, Standing.OTHER])
def test_what_does_not_hold_never_conflicts(demo: Pack, standing: Standing) -> None:
    year = Fact("year", 1980)
    assert find_conflicts((*LARK, year), demo)
    assert not find_conflicts((*LARK, replace(year, standing=standing)), demo)


def test_two_vehicles_do_not_conflict_with_each_other(demo: Pack) -> None:
    facts = (pack_of(36), Fact("battery_count", 8, vehicle=2), Fact("battery_voltage", 6, "V", vehicle=2))
    assert not find_conflicts(facts, demo)
    assert find_conflicts([replace(fact, vehicle=2) for fact in facts], demo)


def test_each_vehicle_is_held_against_its_own_model(demo: Pack) -> None:
    second = (Fact("model", "Drover", vehicle=2), Fact("pack_voltage", 36, "V", vehicle=2))
    found = find_conflicts((*LARK, Fact("year", 1999), pack_of(36), *second), demo)
    assert [(c.id, "Drover" in c.says) for c in found] == [("voltage_against_model", True)]


@pytest.mark.parametrize(
    ("fact", "excuse"),
    [
        (pack_of(72), Fact("modification", "lithium conversion")),
        (pack_of(72), Fact("modification", "voltage conversion")),
        (pack_of(72), Fact("battery_chemistry", "lithium")),
        (Fact("powertrain", "petrol"), Fact("modification", "petrol conversion")),
        (Fact("controller_type", "ac"), Fact("modification", "upgraded controller")),
        (Fact("controller_type", "ac"), Fact("motor", "modified")),
        (Fact("throttle_sensor", "hall 0-5 V"), Fact("controller", "modified")),
        (Fact("top_speed", 24, "mph"), Fact("modification", "high speed gears")),
        (Fact("wheel_stud", "M12x1.5"), Fact("work_done", "hub replaced")),
    ],
)
def test_a_told_change_excuses_the_catalogue(demo: Pack, fact: Fact, excuse: Fact) -> None:
    vehicle = (*DOT, Fact("powertrain", "electric", standing=Standing.INFERRED))
    if fact.value == "M12x1.5":
        vehicle = LARK
    assert find_conflicts((*vehicle, fact), demo)
    assert not find_conflicts((*vehicle, fact, excuse), demo)
    planned = replace(excuse, standing=Standing.PLANNED)
    assert find_conflicts((*vehicle, fact, planned), demo), "a plan excuses nothing"


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        (((36, Standing.STATED), (48, Standing.STATED)), []),  # which of the two holds is not known
        (((36, Standing.DENIED), (48, Standing.CORRECTED)), []),
        (((48, Standing.DENIED), (36, Standing.CORRECTED)), ["voltage_against_model"]),
        (((48, Standing.HEDGED), (36, Standing.STATED)), ["voltage_against_model"]),
    ],
)
def test_the_firmest_of_several_values_counts(
    demo: Pack, values: tuple[tuple[int, Standing], ...], expected: list[str]
) -> None:
    facts = [Fact("pack_voltage", value, "V", standing) for value, standing in values]
    assert [c.id for c in find_conflicts((*COURIER, *facts), demo)] == expected


def test_a_lithium_model_is_lithium_whatever_its_year(demo: Pack) -> None:
    facts = (Fact("model", "Lark Li"), Fact("year", 2003), Fact("charger_mode", "equalising"))
    assert [c.id for c in find_conflicts(facts, demo)] == ["year_outside_production", "charger_against_chemistry"]


def test_a_year_of_something_else_does_not_count_where_another_fits(demo: Pack) -> None:
    fits, bought, built = Fact("year", 2010), Fact("year", 2024), Fact("year", 1980)
    assert not find_conflicts((*COURIER, bought, fits), demo)
    assert not find_conflicts((*COURIER, replace(fits, standing=Standing.HEDGED), bought), demo)
    assert not find_conflicts((*COURIER, bought, built), demo), "two that do not fit: neither is sure"
    assert find_conflicts((*COURIER, built), demo)


def test_an_empty_question_has_no_conflicts(demo: Pack) -> None:
    assert find_conflicts((), demo) == ()

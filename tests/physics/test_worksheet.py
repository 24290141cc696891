"""Worksheets by name: values as people write them, clear refusals, results with formula, source and caution."""

import inspect
from math import inf

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.physics.limits import OutOfRange, UnreadableCode
from triage.physics.worksheet import WORKSHEETS, Input, InputError, find_worksheet, parse_input, work

UNITS = pint.UnitRegistry(cache_folder=None)
TYRE = Input("tyre", "tyre diameter", "in", low=8, high=40)
HEAT = Input("temperature", "temperature", "degC", low=-20, high=60)
VOLTS = Input("volts", "rest voltage", "V", low=3, high=110)

# One run of each: inputs as written, the result to look at, its value and tolerance; sources as in the other tests.
RUNS = [
    ("state-of-charge", {"volts": "37.35", "nominal": "36"}, "state of charge", 75, 0.1),
    ("hydrometer", {"reading": "1.250", "temperature": "20 F"}, "corrected gravity", 1.226, 1e-6),
    ("battery-spread", {"volts": "6.32 6.32 5.3 V 6.32", "nominal": "6 V"}, "spread", 1.02, 1e-6),
    ("gravity-spread", {"gravities": "1.265 1.215", "retested": "yes"}, "verdict", "condemn", 0),
    ("freezing-point", {"gravity": "1.120"}, "freezes at", -10.3, 0.1),
    ("pack", {"count": "6", "unit": "6 V", "capacity": "225 Ah"}, "energy", 8.1, 1e-6),
    ("pack-layouts", {"pack": "36 V"}, "6 units of 6 V, each with 3 filler caps if flooded", 36, 0),
    ("battery-count", {"count": "6"}, "6 units of 8 V, each with 4 filler caps if flooded", 48, 0),
    ("lithium-pack", {"nominal": "51.2 V"}, "full", 58.4, 1e-6),
    (
        "charge-voltage",
        {"chemistry": "flooded", "nominal": "48", "temperature": "32 F"},
        "charger voltage",
        61.8,
        0.01,
    ),
    ("charge-time", {"removed": "50 Ah", "charger": "20 A", "factor": "1.25"}, "to about 90 %", 3.125, 1e-6),
    ("hydrogen", {"cells": "24", "amps": "10 A"}, "hydrogen", 109.5, 0.1),
    ("ventilation", {"cells": "24", "capacity": "225"}, "air flow", 16.2, 1e-6),
    ("runtime", {"capacity": "225 Ah", "current": "75 A"}, "to flat", 2.053, 0.001),
    (
        "peukert-exponent",
        {"current1": "11.25 A", "hours1": "20 h", "current2": "75 A", "hours2": "115 min"},
        "exponent",
        1.236,
        0.001,
    ),
    ("range", {"capacity": "225", "current": "75", "speed": "12 mph"}, "range", 12.32, 0.01),
    ("speed", {"rpm": "3000", "gear": "12.44", "tyre": "457.2 mm"}, "speed", 12.91, 0.01),
    ("change", {"tyre_new": "22 in"}, "speed, at most", 22.2, 0.05),
    (
        "grade",
        {"mass": "500 kg", "grade": "10 %", "speed": "10 mph", "pack": "48 V"},
        "pack current",
        69.7,
        0.1,
    ),
    ("tyre", {"code": "205/50-10"}, "diameter", 18.07, 0.01),
    ("cable-drop", {"gauge": "6 AWG", "length": "3 m", "amps": "200 A"}, "drop", 0.778, 0.001),
    (
        "cable-choice",
        {"peak": "200", "continuous": "60", "length": "3", "drop": "0.5 V"},
        "thinnest gauge",
        "4",
        0,
    ),
    ("fuse", {"continuous": "80 A", "gauge": "2", "charging": "62 V"}, "fuse", 100, 0),
    ("joint-heat", {"amps": "200 A", "volts": "200 mV"}, "heat in the joint", 40, 1e-6),
    ("solenoid-coil", {"volts": "48 V", "ohms": "120"}, "current", 0.4, 1e-6),
    ("precharge", {"pack": "48", "resistor": "250 ohm", "capacitance": "10 mF"}, "time constant", 2.5, 1e-6),
    (
        "throttle-ohms",
        {"kind": "0-5k", "released": "5k", "floored": "0"},
        "verdict",
        "the end readings are those of the opposite type",
        0,
    ),
    (
        "throttle-volts",
        {"released": "1 V", "floored": "4 V"},
        "verdict",
        "the end readings suit this type",
        0,
    ),
    ("thread-mix", {"stud": "M12x1.25", "nut": "1/2-20"}, "part of the nut's own depth", 49, 0.5),
    ("thread-engagement", {"thread": "1/2-20", "length": "0.5 in"}, "turns in this length", 10, 1e-6),
    (
        "speed-class",
        {"speed": "15 mph"},
        "class by speed",
        "exactly 15 mph: at the limit, not a golf car by the strict wording (less than 15)",
        0,
    ),
]


@pytest.mark.parametrize(("name", "given", "label", "value", "within"), RUNS, ids=[run[0] for run in RUNS])
def test_each_worksheet_gives_the_worked_figure(name, given, label, value, within):
    result = work(name, given)
    found = {outcome.label: outcome.value for outcome in result.results}[label]
    assert found == (value if isinstance(value, str) else pytest.approx(value, abs=within))
    assert result.formula
    assert result.source
    assert len(result.inputs) == len(find_worksheet(name).inputs)
    if result.curve:
        xs = [x for x, _ in result.curve.points]
        assert len(xs) > 10
        assert xs == sorted(xs)


def test_every_worksheet_is_run_above():
    assert sorted(run[0] for run in RUNS) == sorted(sheet.name for sheet in WORKSHEETS)


@pytest.mark.parametrize("sheet", WORKSHEETS, ids=lambda sheet: sheet.name)
def test_worksheets_are_well_formed(sheet):
    assert sheet.name == sheet.name.lower().replace("_", "-")
    names = [item.name for item in sheet.inputs]
    assert names == list(inspect.signature(sheet.work).parameters)
    if sheet.plot:
        assert names == list(inspect.signature(sheet.plot).parameters)
    for item in sheet.inputs:
        assert item.choices or item.unit in ("", "%") or UNITS.Unit(item.unit)
        assert item.default is None or not item.choices or item.default in item.choices


def test_names_are_unique():
    names = [sheet.name for sheet in WORKSHEETS]
    assert len(names) == len(set(names))


@pytest.mark.parametrize(
    ("text", "item", "value"),
    [
        ("18", TYRE, 18),
        ("18 in", TYRE, 18),
        ('18"', TYRE, 18),
        ("457.2 mm", TYRE, 18),
        ("45.72cm", TYRE, 18),
        ("24.14016 km/h", Input("v", "speed", "mph"), 15),
        ("24.14016 kmh", Input("v", "speed", "mph"), 15),
        ("68 F", HEAT, 20),
        ("68 degF", HEAT, 20),
        ("20 °C", HEAT, 20),
        ("-5 C", HEAT, -5),
        ("38.2 V", VOLTS, 38.2),
        ("38.2v", VOLTS, 38.2),
        ("38200 mV", VOLTS, 38.2),
        ("1,200 lb", Input("m", "mass", "lb"), 1200),
        ("2.2 kohm", Input("r", "resistance", "ohm"), 2200),
        ("2.2 k\u2126", Input("r", "resistance", "ohm"), 2200),  # the ohm sign
        ("2.2 k\u03a9", Input("r", "resistance", "ohm"), 2200),  # the Greek letter
        ("470 \u00b5F", Input("c", "capacitance", "uF"), 470),  # the micro sign
        ("470 \u03bcF", Input("c", "capacitance", "uF"), 470),
        ("40 m³", Input("room", "room", "m^3"), 40),
        ("5k", Input("r", "resistance", "ohm"), 5000),
        ("90 min", Input("t", "time", "h"), 1.5),
        ("225 amp hours", Input("c", "capacity", "Ah"), 225),
        ("40 m3", Input("room", "room", "m^3"), 40),
        ("open", Input("r", "resistance", "ohm", high=inf), inf),
        ("6.3 6.2; 6.1", Input("u", "units", "V", kind="numbers"), (6.3, 6.2, 6.1)),
        ("6.3 V, 6200 mV", Input("u", "units", "V", kind="numbers"), (6.3, 6.2)),
        ("6", Input("n", "count", kind="whole"), 6),
        ("AGM", Input("c", "chemistry", choices=("agm", "gel")), "agm"),
    ],
)
def test_values_as_people_write_them(text, item, value):
    expected = value if isinstance(value, str) else pytest.approx(value)
    assert parse_input(text, item) == expected


@given(st.floats(8, 40), st.sampled_from(["in", "mm", "cm", "ft"]))
def test_the_unit_written_does_not_change_the_value(inches, unit):
    written = UNITS.Quantity(inches, "in").to(unit)
    assert parse_input(f"{written.magnitude:.9f} {unit}", Input("d", "d", "in")) == pytest.approx(inches, abs=1e-6)


@pytest.mark.parametrize(
    ("text", "item", "says"),
    [
        ("38.2 A", VOLTS, r"'38.2 A' cannot be turned into V"),
        ("18 mph", TYRE, r"cannot be turned into in; write for example 18 in or 457 mm"),
        ("20 V", HEAT, "cannot be turned into degC"),
        ("18 F", TYRE, "cannot be turned into in"),  # a capacitance here
        ("18 bananas", TYRE, "cannot be turned into in"),
        ("about 18", TYRE, "is not a number"),
        ("38,2 V", VOLTS, "is not a number"),
        ("nan", VOLTS, "is not a number"),
        ("inf", VOLTS, "is not a number"),
        ("1e999", VOLTS, "is not a number"),
        ("open", VOLTS, "is not a number"),
        ("V**9**9**9", VOLTS, "is not a number"),
        ("6 V**9**9", VOLTS, "is not a number"),
        ("1.2 V", Input("k", "exponent"), "has no unit"),
        ("2.5", Input("n", "count", kind="whole"), "whole number"),
        ("6.3,6.2", Input("u", "units", "V", kind="numbers"), "spaces between"),
        ("nickel", Input("c", "chemistry", choices=("agm", "gel")), "choose one of: agm, gel"),
    ],
)
def test_what_cannot_be_used_is_refused_in_plain_words(text, item, says):
    with pytest.raises(InputError, match=says):
        parse_input(text, item)


@given(st.text(max_size=30))
def test_any_text_is_a_value_in_range_or_a_plain_refusal(text):
    try:
        assert 3 <= parse_input(text, VOLTS) <= 110
    except (InputError, OutOfRange) as error:
        assert "rest voltage (volts)" in str(error)


@pytest.mark.parametrize(("text", "allowed"), [("2 in", "8 to 40 in"), ("3 m", "8 to 40 in")])
def test_a_value_outside_the_form_is_out_of_range(text, allowed):
    with pytest.raises(OutOfRange) as caught:
        parse_input(text, TYRE)
    assert caught.value.allowed == allowed


def test_unknown_names_answer_with_the_known_ones():
    with pytest.raises(InputError, match="There are: state-of-charge, "):
        work("hum", {})
    with pytest.raises(InputError, match="Its inputs are: rpm, gear, tyre"):
        work("speed", {"tire": "18"})


def test_a_missing_value_is_named_with_an_example():
    with pytest.raises(InputError, match=r"tyre diameter as it rolls \(tyre\) is missing; .*18 in or 457 mm"):
        work("speed", {"rpm": "3000", "gear": "12.44"})


def test_defaults_are_shown_among_the_inputs():
    inputs = {item.label: item.text for item in work("runtime", {"capacity": "225", "current": "75"}).inputs}
    assert inputs["hour rate of that capacity"] == "20 h"
    assert inputs["Peukert exponent"] == "1.2"


def test_limits_of_the_physics_reach_the_user():
    with pytest.raises(OutOfRange, match="rest voltage"):
        work("state-of-charge", {"volts": "58.8", "nominal": "48"})
    with pytest.raises(UnreadableCode, match="tyre code"):
        work("tyre", {"code": "big ones"})


def test_a_weak_unit_is_counted_from_one():
    results = {outcome.label: outcome.text for outcome in work("battery-spread", RUNS[2][1]).results}
    assert results["weakest, counted from the first given"] == "3"
    assert results["verdict"] == "equalise and retest"


@pytest.mark.parametrize(("volts", "says"), [("0.05", "in order"), ("0.15", "clean or replace")])
def test_a_joint_is_judged_only_at_a_telling_current(volts, says):
    assert work("joint-heat", {"amps": "150", "volts": volts}).results[-1].value == says
    assert work("joint-heat", {"amps": "20", "volts": volts}).results[-1].value == "measure at 100 to 200 A"


def test_an_open_coil_has_no_current():
    (verdict,) = work("solenoid-coil", {"volts": "48", "ohms": "open"}).results
    assert verdict.value == "open: the coil is broken"


def test_threads_that_jam_have_no_overlap_to_show():
    (verdict,) = work("thread-mix", {"stud": "1/2-20", "nut": "M12x1.25"}).results
    assert verdict.value == "the nut is too small: it jams or cross-threads"


def test_formula_lines_say_what_each_gives():
    lines = work("joint-heat", {"amps": "200", "volts": "0.2"}).formula.splitlines()
    assert "Heat in a joint or contact: I^2 R" in lines


def test_lithium_charging_counts_lithium_cells():
    given = {"chemistry": "lithium", "nominal": "51.2", "stage": "absorption"}
    assert work("charge-voltage", given).results[0].text == "57.6 V"


@pytest.mark.parametrize(
    ("pack", "text"), [("48", "8 units of 6 V, each with 3 filler caps if flooded"), ("50", "layout")]
)
def test_layouts_of_usual_and_unusual_packs(pack, text):
    assert work("pack-layouts", {"pack": pack}).results[0].label == text


def test_counts_that_make_no_usual_pack_say_so():
    assert work("battery-count", {"count": "5"}).results[0].value == "none of the usual"

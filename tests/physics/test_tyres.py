"""Tyre codes in both notations against the reading rules of published pages."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.physics import tyres as t
from triage.physics.limits import OutOfRange, UnreadableCode

UNITS = pint.UnitRegistry(cache_folder=None)


@pytest.mark.parametrize(
    ("code", "diameter", "rim"),
    [
        ("18x8.50-8", 18.0, 8),  # "How do you explain a golf cart tire size?"
        ("22x9.50-10", 22.0, 10),
        ("205/50-10", 18.07, 10),  # reading rule as published, sum worked out
        ("205/65-10", 20.49, 10),
        ("215/35-12", 17.93, 12),
        ("205/30-14", 18.84, 14),
    ],
)
def test_overall_diameter(code, diameter, rim):
    tyre = t.parse_tyre(code)
    assert tyre.diameter_in == pytest.approx(diameter, abs=0.01)
    assert tyre.rim_in == rim


def test_sidewall_and_section():
    assert t.parse_tyre("18x8.50-8").sidewall_in == 5.0  # "Sidewall size/height" article
    metric = t.parse_tyre("205/50-10")
    assert UNITS.Quantity(metric.sidewall_in, "inch").to("mm").magnitude == pytest.approx(102.5)
    assert UNITS.Quantity(metric.width_in, "inch").to("mm").magnitude == pytest.approx(205)  # section, not tread
    assert UNITS.Quantity(metric.diameter_in, "inch").to("mm").magnitude == pytest.approx(459.0)


@pytest.mark.parametrize(
    ("written", "plain"),
    [
        ("18X8.5-8", "18x8.50-8"),
        ("18 x 8.50 - 8", "18x8.50-8"),
        ("18x8.50x8", "18x8.50-8"),
        ("18×8.50–8", "18x8.50-8"),
        ("18x8.50-8 NHS", "18x8.50-8"),
        ("18x8.50-8 4 ply", "18x8.50-8"),
        (" 205/50R10 ", "205/50-10"),
        ("205 / 50 - 10", "205/50-10"),
        ("205/50/10", "205/50-10"),
    ],
)
def test_ways_of_writing_a_code(written, plain):
    assert t.parse_tyre(written) == t.parse_tyre(plain)


@pytest.mark.parametrize(
    "text", ["", "18", "18 inch", "18x8.50", "205/50", "x-", "18x8.50-8 and 205/50-10", "M12x1.25"]
)
def test_what_is_no_code_says_how_to_write_one(text):
    with pytest.raises(UnreadableCode, match=r"18x8\.50-8 or 205/50-10"):
        t.parse_tyre(text)


@pytest.mark.parametrize("code", ["180x8.50-8", "18x85-8", "18x8.50-17.5", "205/500-10", "205/5-10", "18x8.50-80"])
def test_a_code_that_no_tyre_has_is_refused(code):
    with pytest.raises(OutOfRange, match="allowed"):
        t.parse_tyre(code)


@given(st.integers(180, 260), st.integers(40, 80), st.integers(10, 14))
def test_metric_code_adds_two_sidewalls_to_the_rim(width, aspect, rim):
    tyre = t.parse_tyre(f"{width}/{aspect}-{rim}")
    assert tyre.rim_in + 2 * tyre.sidewall_in == pytest.approx(tyre.diameter_in)
    assert tyre.diameter_in > t.parse_tyre(f"{width}/{aspect - 5}-{rim}").diameter_in


@given(st.text())
def test_any_text_is_a_tyre_or_a_value_error(text):
    try:
        assert t.parse_tyre(text).diameter_in > 0
    except ValueError as error:
        assert str(error)


@given(st.floats(8, 40))
def test_turns_times_roll_out_make_a_mile(diameter):
    assert t.turns_per_mile(diameter) * t.roll_out_in(diameter) == pytest.approx(63360)


def test_roll_out_of_an_eighteen_inch_tyre():
    # geometry; "MPH Formula Using RPM And Gear Ratio": 336 inches of diameter at 1 rpm make 1 mph
    assert t.roll_out_in(18) == pytest.approx(56.55, abs=0.01)
    assert 60 / t.turns_per_mile(18) * 336.135 / 18 == pytest.approx(1, abs=1e-4)


@pytest.mark.parametrize("call", [t.roll_out_in, t.turns_per_mile])
@pytest.mark.parametrize("diameter", [0, 50, float("nan")])
def test_outside_the_range_is_refused(call, diameter):
    with pytest.raises(OutOfRange, match="tyre diameter"):
        call(diameter)

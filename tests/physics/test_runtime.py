"""Peukert's rule in its usable form: worked examples, and the bare form that must not be offered."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.physics import runtime as r
from triage.physics.limits import OutOfRange

exponents = st.floats(1.0, 1.6)
currents = st.floats(5, 300)


@pytest.mark.parametrize(("amps", "hours"), [(75, 2.053), (25, 7.672), (50, 3.339), (100, 1.453), (11.25, 20.000)])
def test_worked_example_of_225_ah(amps, hours):
    # worked out from "An in depth analysis of the maths behind Peukert's Equation": C 225 Ah, H 20 h, k 1.20
    assert r.peukert_hours(225, 20, 1.2, amps) == pytest.approx(hours, rel=0.005)


def test_delivered_amp_hours_of_the_worked_example():
    assert r.delivered_ah(225, 20, 1.2, 75) == pytest.approx(154.0, rel=0.005)


def test_a_rated_capacity_lasts_its_rated_time():
    # the bare form C / I^k prints 14.5 h for 100 Ah, k 1.2, 5 A ("Peukert's Law and discharge of lead acid
    # batteries"); at the 20 h current a 20 h capacity lasts 20 h
    assert r.peukert_hours(100, 20, 1.2, 5) == pytest.approx(20)
    bare = 100 / 5**1.2
    assert bare == pytest.approx(14.5, abs=0.05)


@given(exponents, currents)
def test_both_published_forms_are_equal(exponent, amps):
    other = 225 * (225 / 20) ** (exponent - 1) / amps**exponent
    assert r.peukert_hours(225, 20, exponent, amps) == pytest.approx(other)


@given(exponents, currents, currents)
def test_more_current_never_lasts_longer(exponent, one, other):
    low, high = sorted((one, other))
    assert r.peukert_hours(225, 20, exponent, high) <= r.peukert_hours(225, 20, exponent, low)


@given(exponents, currents, st.floats(0.5, 2))
def test_a_pack_and_a_current_both_scaled_last_as_long(exponent, amps, scale):
    one = r.peukert_hours(225, 20, exponent, amps)
    assert r.peukert_hours(225 * scale, 20, exponent, amps * scale) == pytest.approx(one)


@given(st.floats(11.25, 300))
def test_an_exponent_of_one_delivers_the_rated_capacity(amps):
    assert r.delivered_ah(225, 20, 1.0, amps) == pytest.approx(225)


@pytest.mark.parametrize(("minutes", "exponent"), [(115, 1.236), (105, 1.284)])
def test_exponent_of_the_worked_example(minutes, exponent):
    # worked out: 11.25 A for 20 h and 75 A for so many minutes
    assert r.peukert_exponent(11.25, 20, 75, minutes / 60) == pytest.approx(exponent, abs=0.001)


@given(st.floats(1.01, 1.6), st.floats(5, 50), st.floats(60, 300))
def test_exponent_is_found_again_from_two_times(exponent, small, large):
    times = [r.peukert_hours(225, 20, exponent, amps) for amps in (small, large)]
    found = r.peukert_exponent(small, times[0], large, times[1])
    assert found == pytest.approx(exponent)
    assert r.peukert_exponent(large, times[1], small, times[0]) == pytest.approx(found)


def test_the_default_exponent_lies_in_the_published_band():
    # "Peukert's Law", electronics notes: 1.20 to 1.30, and 1.1 to 1.25
    assert r.EXPONENT_BAND == (1.1, 1.3)
    assert r.DEFAULT_EXPONENT == 1.2


def test_usable_part_of_a_charge():
    # 50 % common practice, no source; 80 % retailer knowledge base, maker FAQ
    assert r.usable_ah(225) == pytest.approx(112.5)
    assert r.usable_ah(225, 0.8) == pytest.approx(180)


def test_range_is_time_times_speed_times_depth():
    # arithmetic on the worked example: 2.053 h x 0.5 x 12 mph
    assert r.range_miles(2.053, 12) == pytest.approx(12.318)


@given(st.floats(0.5, 20), st.floats(1, 20), st.floats(0.05, 0.4))
def test_range_scales_with_depth_and_speed(hours, mph, depth):
    assert r.range_miles(hours, mph, 2 * depth) == pytest.approx(2 * r.range_miles(hours, mph, depth))
    assert r.range_miles(hours, 2 * mph, depth) == pytest.approx(2 * r.range_miles(hours, mph, depth))


@pytest.mark.parametrize(
    "call",
    [
        lambda: r.peukert_hours(225, 20, 0.9, 75),
        lambda: r.peukert_hours(225, 20, 1.2, 0),
        lambda: r.peukert_hours(225, 20, 1.2, 2),
        lambda: r.peukert_hours(225, 0, 1.2, 75),
        lambda: r.peukert_hours(0, 20, 1.2, 75),
        lambda: r.delivered_ah(225, 20, 1.2, 1000),
        lambda: r.peukert_exponent(75, 2, 75, 1),
        lambda: r.peukert_exponent(75, 20, 11.25, 2),
        lambda: r.peukert_exponent(0, 20, 75, 2),
        lambda: r.usable_ah(225, 0.9),
        lambda: r.range_miles(0, 12),
        lambda: r.range_miles(2, 12, 1.0),
    ],
)
def test_outside_the_range_is_refused(call):
    with pytest.raises(OutOfRange, match="allowed"):
        call()

"""Speed, changes, grades: published speed formulas, worked grades, exact ratios."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.physics import drivetrain as d
from triage.physics.limits import OutOfRange

UNITS = pint.UnitRegistry(cache_folder=None)
rpms, ratios, tyres = st.floats(100, 8000), st.floats(4, 20), st.floats(14, 26)


@pytest.mark.parametrize(
    ("rpm", "ratio", "tyre", "mph"),
    [
        (3000, 12.44, 18, 12.91),  # worked out; "MPH Formula Using RPM And Gear Ratio" with 336 gives 12.92
        (3000, 12.44, 22, 15.78),
        (4500, 12.44, 18, 19.37),
        (3000, 12.44, 17.5, 12.56),  # a loaded tyre
        (5600, 12.44, 18, 24.1),  # forum post with the same tyre
    ],
)
def test_speed_of_worked_examples(rpm, ratio, tyre, mph):
    assert d.speed_mph(rpm, ratio, tyre) == pytest.approx(mph, rel=0.001)


def test_the_gear_ratio_divides():
    # a calculator page multiplies and prints 45.24 mph; "MPH Formula Using RPM And Gear Ratio" gives 76.5
    assert d.speed_mph(3000, 3.5, 30) == pytest.approx(76.5, rel=0.001)
    assert d.speed_mph(3000, 7.0, 30) == pytest.approx(76.5 / 2, rel=0.001)


def test_the_printed_constant():
    assert 1 / d.speed_mph(1, 1, 12) * 12 == pytest.approx(336, rel=0.001)  # "Some Equations That May Help"


@given(rpms, ratios, tyres)
def test_speed_agrees_with_a_unit_library(rpm, ratio, tyre):
    turning = UNITS.Quantity(rpm / ratio, "rpm").to("radian/second").magnitude
    expected = UNITS.Quantity(turning * UNITS.Quantity(tyre / 2, "inch").to("m").magnitude, "m/s").to("mph")
    assert d.speed_mph(rpm, ratio, tyre) == pytest.approx(expected.magnitude)


@given(rpms, ratios, tyres)
def test_speed_and_rpm_are_inverse(rpm, ratio, tyre):
    mph = d.speed_mph(rpm, ratio, tyre)
    if mph <= 60:
        assert d.motor_rpm(mph, ratio, tyre) == pytest.approx(rpm)


@given(rpms, ratios, tyres, st.floats(1.01, 1.5))
def test_speed_rises_with_rpm_and_tyre_and_falls_with_ratio(rpm, ratio, tyre, more):
    base = d.speed_mph(rpm, ratio, tyre)
    assert d.speed_mph(rpm * more, ratio, tyre) == pytest.approx(base * more)
    assert d.speed_mph(rpm, ratio, tyre * more) == pytest.approx(base * more)
    assert d.speed_mph(rpm, ratio * more, tyre) == pytest.approx(base / more)


def test_a_loaded_tyre_rolls_on_less():
    assert d.rolling_diameter_in(18.0) == pytest.approx(17.5, abs=0.05)  # common practice, no source


def test_a_taller_tyre():
    # exact ratios: 18 to 22 in
    effect = d.change(tyre=22 / 18)
    assert effect.speed == pytest.approx(1.222, abs=0.0005)
    assert effect.thrust == pytest.approx(1 - 0.182, abs=0.0005)
    assert effect.motor_torque == pytest.approx(1.222, abs=0.0005)
    assert effect.pack_current_new_speed == pytest.approx(1.222, abs=0.0005)


@pytest.mark.parametrize(("volts", "rpm", "mph"), [(42, 6532, 28.1), (48, 7465, 32.1)])
def test_more_voltage_in_a_printed_example(volts, rpm, mph):
    # forum post: 5600 rpm and 24.1 mph at 36 V
    effect = d.change(voltage=volts / 36)
    assert 5600 * effect.speed == pytest.approx(rpm, rel=0.001)
    assert 24.1 * effect.speed == pytest.approx(mph, rel=0.002)


@pytest.mark.parametrize(("volts", "amps"), [(38.22, 130.82), (50.96, 98.12), (76.44, 65.41)])
def test_the_same_power_takes_less_current_at_more_voltage(volts, amps):
    # "Why does voltage matter so much ...": 5000 W
    assert d.pack_current_a(5000, volts, efficiency=1.0) == pytest.approx(amps, abs=0.01)
    assert 130.82 * d.change(voltage=volts / 38.22).pack_current_old_speed == pytest.approx(amps, rel=0.001)


@given(st.floats(0.8, 1.5), st.floats(0.8, 1.5), st.floats(0.8, 1.5))
def test_a_change_taken_back_leaves_nothing(tyre, gear, voltage):
    there = d.change(tyre=tyre, gear=gear, voltage=voltage)
    back = d.change(tyre=1 / tyre, gear=1 / gear, voltage=1 / voltage)
    for name in ("speed", "thrust", "motor_torque", "motor_current", "pack_current_new_speed"):
        assert getattr(there, name) * getattr(back, name) == pytest.approx(1)


@given(st.floats(1.0, 2.0))
def test_a_series_motor_needs_less_extra_current_for_extra_torque(tyre):
    # from memory: torque grows with the square of the current, unsaturated
    series, steady = d.change(tyre=tyre, motor="series"), d.change(tyre=tyre)
    assert series.motor_current**2 == pytest.approx(steady.motor_current)
    assert series.motor_current <= steady.motor_current


@pytest.mark.parametrize(
    ("grade", "newtons", "watts", "at_48", "at_36"),
    [  # worked out: 500 kg, rolling 0.015, 10 mph, 75 %
        (5, 318, 1423, 39.5, 52.7),
        (10, 561, 2508, 69.7, 92.9),
        (15, 800, 3577, 99.4, 132.5),
        (20, 1034, 4621, 128.4, 171.2),
    ],
)
def test_worked_grades(grade, newtons, watts, at_48, at_36):
    force = d.grade_force_n(500, grade)
    power = d.road_power_w(force, 10)
    assert force == pytest.approx(newtons, rel=0.01)
    assert power == pytest.approx(watts, rel=0.01)
    assert d.pack_current_a(power, 48) == pytest.approx(at_48, rel=0.01)
    assert d.pack_current_a(power, 36) == pytest.approx(at_36, rel=0.01)


@pytest.mark.parametrize(("tyre", "axle", "motor"), [(18, 128.3, 11.46), (22, 156.8, 14.00)])
def test_worked_torques(tyre, axle, motor):
    # worked out: 10 % grade, 12.44:1, 90 %
    torque = d.axle_torque_nm(d.grade_force_n(500, 10), tyre)
    assert torque == pytest.approx(axle, rel=0.01)
    assert d.motor_torque_nm(torque, 12.44) == pytest.approx(motor, rel=0.01)


def test_force_agrees_with_a_unit_library():
    assert UNITS.Quantity(d.grade_force_n(500, 10), "N").to("lbf").magnitude == pytest.approx(126, abs=0.5)
    power = UNITS.Quantity(100, "N") * UNITS.Quantity(10, "mph")
    assert d.road_power_w(100, 10) == pytest.approx(power.to("W").magnitude)


@given(st.floats(100, 2000), st.floats(-40, 40), st.floats(-40, 40))
def test_a_steeper_grade_takes_more_force(mass, one, other):
    low, high = sorted((one, other))
    assert d.grade_force_n(mass, low) <= d.grade_force_n(mass, high) + 1e-9 * mass


@given(st.floats(100, 1000), st.floats(-40, 40))
def test_force_scales_with_mass(mass, grade):
    assert d.grade_force_n(2 * mass, grade) == pytest.approx(2 * d.grade_force_n(mass, grade))


@given(st.floats(1, 500), st.floats(0.05, 1.0))
def test_a_chopper_gives_the_motor_no_less_than_it_takes(amps, duty):
    # from memory: power in equals power out
    assert d.motor_current_a(amps, duty) >= amps
    assert d.motor_current_a(amps, duty) * duty == pytest.approx(amps)


@pytest.mark.parametrize(
    "call",
    [
        lambda: d.speed_mph(-1, 12, 18),
        lambda: d.speed_mph(3000, 0, 18),
        lambda: d.speed_mph(3000, 12, 180),
        lambda: d.motor_rpm(100, 12, 18),
        lambda: d.rolling_diameter_in(18, 1.1),
        lambda: d.change(tyre=3),
        lambda: d.change(motor="ac"),
        lambda: d.grade_force_n(0, 10),
        lambda: d.grade_force_n(500, 50),
        lambda: d.grade_force_n(500, 10, 0.5),
        lambda: d.road_power_w(100, -1),
        lambda: d.pack_current_a(1000, 48, 0),
        lambda: d.pack_current_a(-1000, 48),
        lambda: d.motor_current_a(100, 0),
        lambda: d.axle_torque_nm(100, 0),
        lambda: d.motor_torque_nm(100, 12, 1.1),
    ],
)
def test_outside_the_range_is_refused(call):
    with pytest.raises(OutOfRange, match="allowed"):
        call()

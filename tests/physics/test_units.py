"""Plain conversions against a unit library, and the printed torque figures."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.physics import units as u
from triage.physics.limits import OutOfRange, above, one_of, within

UNITS = pint.UnitRegistry(cache_folder=None)


@given(st.floats(-100, 300))
def test_temperatures(fahrenheit):
    expected = UNITS.Quantity(fahrenheit, "degF").to("degC").magnitude
    assert u.to_celsius(fahrenheit) == pytest.approx(expected, abs=1e-9)
    assert u.to_fahrenheit(u.to_celsius(fahrenheit)) == pytest.approx(fahrenheit, abs=1e-9)


@pytest.mark.parametrize(("pound_feet", "newton_metres"), [(50, 67.8), (60, 81.3), (70, 94.9), (85, 115.2)])
def test_torque(pound_feet, newton_metres):
    assert u.newton_metres(pound_feet) == pytest.approx(newton_metres, abs=0.05)  # x 1.35582 by definition
    expected = UNITS.Quantity(pound_feet, "force_pound * foot").to("N * m").magnitude
    assert u.newton_metres(pound_feet) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("value", "quantity", "unit"),
    [
        (u.MM_PER_INCH, "1 inch", "mm"),
        (u.INCHES_PER_MILE, "1 mile", "inch"),
        (u.METRES_PER_SECOND_PER_MPH, "1 mph", "m/s"),
        (u.STANDARD_GRAVITY, "1 standard_gravity", "m/s**2"),
        (u.FARADAY, "1 faraday_constant", "C/mol"),
        (u.GAS_CONSTANT, "1 molar_gas_constant", "J/(mol*K)"),
    ],
)
def test_constants(value, quantity, unit):
    assert value == pytest.approx(UNITS(quantity).to(unit).magnitude, rel=1e-9)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -0.1, 1.1])
def test_nothing_outside_passes(value):
    with pytest.raises(OutOfRange) as caught:
        within("part", value, 0, 1, "m")
    assert (caught.value.name, caught.value.allowed) == ("part", "0 to 1 m")


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 0, -1])
def test_above_is_finite_and_strict(value):
    with pytest.raises(OutOfRange, match="more than 0 A"):
        above("current", value, 0, "A")


def test_words_outside_the_list_show_the_list():
    with pytest.raises(OutOfRange, match=r"stage is boost; allowed: float, equalise \(so it is\)\."):
        one_of("stage", "boost", ("float", "equalise"), "so it is")
    assert one_of("stage", "float", ("float",)) == "float"

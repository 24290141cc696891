"""Coils, precharge and throttle senders: firm arithmetic, and usual figures that are marked as such."""

from math import exp, inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.physics import controls as c
from triage.physics.limits import OutOfRange


@pytest.mark.parametrize(
    ("volts", "ohms", "amps", "watts"), [(48, 120, 0.40, 19.2), (48, 200, 0.24, 11.5), (36, 100, 0.36, 13.0)]
)
def test_coil_currents(volts, ohms, amps, watts):
    # worked out by Ohm's and Joule's laws
    assert c.coil_current_a(volts, ohms) == pytest.approx(amps)
    assert c.coil_power_w(volts, ohms) == pytest.approx(watts, abs=0.05)


@pytest.mark.parametrize(("ohms", "watts"), [(4, 576), (14, 165)])
def test_the_four_to_fourteen_ohms_of_a_guide_are_impossible_at_48_v(ohms, watts):
    # "How to Test a Golf Cart Solenoid: Complete Troubleshooting Guide" prints 4 to 14 ohm
    assert c.coil_power_w(48, ohms) == pytest.approx(watts, abs=0.5)
    assert c.coil_verdict(48, ohms) is c.Coil.SHORTED
    assert c.coil_verdict(36, ohms) is c.Coil.SHORTED


@pytest.mark.parametrize(
    ("volts", "ohms", "verdict"),
    [  # typical ranges from memory: 36 V 70 to 150 ohm, 48 V 90 to 300 ohm
        (36, 70, c.Coil.TYPICAL),
        (36, 150, c.Coil.TYPICAL),
        (36, 151, c.Coil.HIGH),
        (48, 90, c.Coil.TYPICAL),
        (48, 300, c.Coil.TYPICAL),
        (48, 89, c.Coil.LOW),
        (48, 20, c.Coil.LOW),
        (48, 19.9, c.Coil.SHORTED),
        (48, 0, c.Coil.SHORTED),
        (48, 10_001, c.Coil.OPEN),
        (48, inf, c.Coil.OPEN),
    ],
)
def test_coil_verdicts(volts, ohms, verdict):
    assert c.coil_verdict(volts, ohms) is verdict


@pytest.mark.parametrize(
    ("ohms", "tau", "time_95", "watts"),
    [(250, 2.5, 7.5, 9.2), (470, 4.7, 14.1, 4.9), (1000, 10, 30, 2.3)],
)
def test_precharge_of_ten_millifarads_at_48_v(ohms, tau, time_95, watts):
    # arithmetic; 95 % taken as three time constants in the printed figures
    assert c.precharge_tau_s(ohms, 10_000) == pytest.approx(tau)
    assert c.precharge_time_s(ohms, 10_000) == pytest.approx(time_95, rel=0.01)
    assert c.precharge_peak_w(48, ohms) == pytest.approx(watts, abs=0.05)


def test_precharge_peak_current():
    assert c.precharge_peak_a(48, 250) == pytest.approx(0.192)  # Ohm's law, worked out


def test_energy_left_in_a_controller():
    assert c.stored_energy_j(10_000, 48) == pytest.approx(11.5, abs=0.05)  # worked out


@given(st.floats(10, 5000), st.floats(100, 50_000), st.floats(0.01, 0.99))
def test_time_and_fraction_are_inverse(ohms, microfarads, fraction):
    time = c.precharge_time_s(ohms, microfarads, fraction)
    assert 1 - exp(-time / c.precharge_tau_s(ohms, microfarads)) == pytest.approx(fraction)


@given(st.floats(100, 50_000), st.floats(1, 75))
def test_twice_the_voltage_stores_four_times_the_energy(microfarads, volts):
    assert c.stored_energy_j(microfarads, 2 * volts) == pytest.approx(4 * c.stored_energy_j(microfarads, volts))


@pytest.mark.parametrize(
    ("kind", "released", "floored", "verdict"),
    [
        # "Golf Cart Potentiometers: The Basics": 0 to 5000, 5000 to 0, 0 to 1000
        ("0-5k", 0, 5000, c.Sender.GOOD),
        ("5k-0", 5000, 0, c.Sender.GOOD),
        ("0-1k potentiometer", 0, 1000, c.Sender.GOOD),
        # operating instructions of a pedal/hand cart: 10 %, 4500 to 5500 ohm
        ("0-5k potentiometer", 0, 4500, c.Sender.GOOD),
        ("0-5k", 0, 5500, c.Sender.GOOD),
        ("0-5k", 0, 4499, c.Sender.OUT),
        ("0-5k", 0, 5501, c.Sender.OUT),
        ("0-1k", 0, 900, c.Sender.GOOD),
        ("0-1k", 0, 899, c.Sender.OUT),
        ("0-5k", 5000, 0, c.Sender.REVERSED),
        ("5k-0", 0, 5000, c.Sender.REVERSED),
        ("0-5k", 0, 1000, c.Sender.OUT),  # a 0-1k sender
        ("5k-0", inf, 0, c.Sender.OPEN),
        ("0-5k", 0, inf, c.Sender.OPEN),
        # "Twist Throttle" wiring directions: 1 to 4 V; limits 0.5 and 4.5 V from memory
        ("hall 0-5 V", 1.0, 4.0, c.Sender.GOOD),
        ("hall", 0.5, 4.5, c.Sender.GOOD),
        ("hall", 0.4, 4.0, c.Sender.OUT),
        ("hall", 0.0, 5.0, c.Sender.OUT),
        ("hall", 1.0, 4.6, c.Sender.OUT),
        ("hall", 4.0, 1.0, c.Sender.REVERSED),
    ],
)
def test_throttle_senders(kind, released, floored, verdict):
    assert c.throttle_verdict(kind, released, floored) is verdict


@given(st.floats(0, 6000), st.floats(0, 6000))
def test_opposite_types_are_mirror_images(released, floored):
    assert c.throttle_verdict("0-5k", released, floored) is c.throttle_verdict("5k-0", floored, released)


@pytest.mark.parametrize("kind", ["inductive", "ITS", ""])
def test_an_inductive_sender_is_not_checked_as_a_resistor(kind):
    # "2 wire inductive throttle" (forum thread): a coil with a moving core
    with pytest.raises(OutOfRange, match="inductive sender cannot be checked"):
        c.throttle_verdict(kind, 0, 5000)


@pytest.mark.parametrize(
    "call",
    [
        lambda: c.coil_current_a(48, 0),
        lambda: c.coil_power_w(480, 100),
        lambda: c.coil_verdict(12, 10),
        lambda: c.coil_verdict(48, -1),
        lambda: c.precharge_tau_s(0, 10_000),
        lambda: c.precharge_time_s(250, 10_000, 1.0),
        lambda: c.precharge_peak_a(0, 250),
        lambda: c.precharge_peak_w(48, 0),
        lambda: c.stored_energy_j(10_000, 400),
        lambda: c.throttle_verdict("0-5k", -1, 5000),
    ],
)
def test_outside_the_range_is_refused(call):
    with pytest.raises(OutOfRange, match="allowed"):
        call()

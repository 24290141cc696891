"""Charging voltages, limits and times, and hydrogen, against published settings and worked examples."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.physics import charging as c
from triage.physics import ventilation as v
from triage.physics.limits import OutOfRange


@pytest.mark.parametrize(
    ("chemistry", "stage", "cells", "volts", "within"),
    [
        ("flooded", "absorption", 24, 58.8, 0.05),  # maker's user guide 4.4.1, 2.45 V per cell
        ("flooded", "absorption", 18, 44.1, 0.05),
        ("flooded", "absorption", 36, 88.2, 0.05),
        ("flooded", "absorption", 6, 14.7, 0.05),
        ("flooded", "equalise", 6, 15.5, 0.01),  # "Battery Type to Charge Voltages"
        ("flooded", "equalise", 24, 62.0, 0.01),
        ("flooded", "float", 6, 13.4, 0.01),
        ("flooded", "float", 24, 53.6, 0.01),
        ("gel", "absorption", 24, 57.60, 0.01),  # "Deep-Cycle Gel Batteries - Charger Voltage Settings"
        ("gel", "float", 1, 2.25, 0.001),
        ("agm", "absorption", 6, 14.4, 0.01),  # "Charging voltages, why are they important": 14.4 to 14.7
        ("agm", "float", 6, 13.5, 0.01),  # same: 13.5 to 13.9
        ("lithium", "absorption", 16, 57.6, 0.01),  # "Battery Type to Charge Voltages"
        ("lithium", "float", 16, 54.4, 0.01),
    ],
)
def test_charging_voltages_are_the_published_ones(chemistry, stage, cells, volts, within):
    assert c.charge_voltage_v(chemistry, cells, stage=stage) == pytest.approx(volts, abs=within)


@pytest.mark.parametrize(("celsius", "per_cell", "pack"), [(35, 2.40, 57.6), (25, 2.45, 58.8), (0, 2.575, 61.8)])
def test_temperature_takes_five_millivolts_per_cell_and_degree(celsius, per_cell, pack):
    # gel settings table: -5 mV per cell and degree C about 25 C (worked out)
    assert c.charge_voltage_v("flooded", 1, celsius) == pytest.approx(per_cell)
    assert c.charge_voltage_v("flooded", 24, celsius) == pytest.approx(pack)


def test_five_millivolts_agree_with_the_agm_page():
    # "Charging voltages, why are they important": 0.03 V per degree C on a 12 V unit
    step = c.charge_voltage_v("agm", 6, 24) - c.charge_voltage_v("agm", 6, 25)
    assert step == pytest.approx(0.03)


@given(st.floats(0, 45))
def test_lithium_is_never_corrected_for_temperature(celsius):
    # "Battery Type to Charge Voltages", note
    assert c.charge_voltage_v("lithium", 16, celsius) == c.charge_voltage_v("lithium", 16)


@given(st.sampled_from(c.LEAD_ACID), st.floats(-20, 49), st.floats(-20, 49))
def test_warmer_lead_acid_is_never_charged_higher(chemistry, one, other):
    low, high = sorted((one, other))
    assert c.charge_voltage_v(chemistry, 24, high) <= c.charge_voltage_v(chemistry, 24, low)


@given(st.sampled_from([*c.LEAD_ACID, "lithium"]), st.integers(1, 48))
def test_voltage_scales_with_cells(chemistry, cells):
    one = c.charge_voltage_v(chemistry, 1)
    assert c.charge_voltage_v(chemistry, cells) == pytest.approx(cells * one)


@pytest.mark.parametrize("chemistry", ["gel", "agm", "lithium"])
def test_only_flooded_is_equalised(chemistry):
    # gel and lithium: from memory, and "Charging lithium on a charger with an equalise stage over-charges it"
    with pytest.raises(OutOfRange, match="absorption, float"):
        c.charge_voltage_v(chemistry, 16, stage="equalise")


def test_the_lithium_ceiling_lies_below_a_flooded_equalise():
    # 16 x 3.65 = 58.4 V is also near a 48 V flooded absorption; 62 V would over-charge it
    assert c.charge_voltage_v("lithium", 16) <= 58.4 < c.charge_voltage_v("flooded", 24, stage="equalise")


@pytest.mark.parametrize(("chemistry", "celsius"), [("lithium", -0.1), ("flooded", 50), ("gel", -21)])
def test_charging_outside_the_temperature_is_refused(chemistry, celsius):
    # lithium below 0 C from memory; above 49 C "Charger Voltage Settings for Deep-Cycle Flooded ..."
    with pytest.raises(OutOfRange, match="temperature"):
        c.charge_voltage_v(chemistry, 16, celsius)


def test_a_frozen_battery_is_refused():
    # flat (1.120) freezes near -10 C, full (1.265) below -50 C: "Table III. Electrolyte Freezing Points"
    with pytest.raises(OutOfRange, match="freezes"):
        c.refuse_frozen(1.120, -12)
    assert c.refuse_frozen(1.265, -12) > 40


@pytest.mark.parametrize(
    ("chemistry", "amps"),
    [
        ("flooded", 27.5),  # forum page quoting a battery FAQ: C/8 (it prints 26 for 220 Ah, a slip)
        ("gel", 11.0),  # same page: C/20
        ("agm", 44.0),  # "12V AGM battery charging voltage": 0.2 C
    ],
)
def test_current_limits(chemistry, amps):
    assert c.charge_current_limit_a(chemistry, 220) == pytest.approx(amps)


def test_charge_time_agrees_with_the_worked_examples():
    # charger manual, "Calculating Charge Time": 100 Ah x 0.50 x 1.25 / 20 A = 3.125 h
    assert c.charge_hours(50, 20, factor=1.25) == pytest.approx(3.125)
    # "Charging Rates and Times": 25 Ah at C/10 = 2.5 A; 1.2 x 25 / 2.5 = 12 h to 90 %, and 3 h more to full
    assert c.charge_hours(25, 2.5) == pytest.approx(12)
    assert c.full_charge_hours(25, 2.5) == pytest.approx(15)


@given(st.floats(1, 500), st.floats(1, 100))
def test_twice_the_current_halves_the_time(removed, amps):
    assert c.charge_hours(removed, 2 * amps) == pytest.approx(c.charge_hours(removed, amps) / 2)


def test_published_gassing_points_lie_in_the_band():
    low, high = c.gassing_band_v(6)
    assert low <= 14.0 <= high  # "BATTERY CHARGING" (charger manual)
    assert low <= 2.40 * 6 <= high  # forum page


@pytest.mark.parametrize(
    ("celsius", "litres"),
    [(0, 0.4181), (20, 0.4488), (25, 0.4564)],  # Faraday's law, worked out
)
def test_hydrogen_from_first_principles(celsius, litres):
    assert v.hydrogen_l_per_ah(celsius) == pytest.approx(litres, abs=0.0005)


def test_hydrogen_agrees_with_published_forms():
    assert v.hydrogen_l_per_ah(0) == pytest.approx(0.42, abs=0.005)  # EN 50272-3, air-flow page
    assert v.hydrogen_l_per_ah(0) == pytest.approx(0.01474 * 28.3168, abs=0.001)  # industrial battery gas page
    assert v.hydrogen_l_per_ah(25) == pytest.approx(0.46, abs=0.005)  # "Ventilation in battery room"


def test_hydrogen_of_the_printed_example():
    # industrial battery gas page: 24 cells, 20 % overcharge of 450 Ah over 4 h = 7.96 cubic feet an hour
    amps = 0.20 * 450 / 4
    assert v.hydrogen_l_per_h(24, amps, celsius=0) / 28.3168 == pytest.approx(7.96, rel=0.005)


def test_garage_worked_from_first_principles():
    # worked out: 24 cells, 10 A into gas at 25 C in a sealed 40 m3 garage
    gas = v.hydrogen_l_per_h(24, 10)
    assert gas == pytest.approx(109.5, rel=0.01)
    assert v.air_needed_m3_per_h(gas) == pytest.approx(10.95, rel=0.01)
    assert v.hours_to_fraction(40, gas) == pytest.approx(3.65, rel=0.01)
    assert v.hours_to_fraction(40, gas, 0.04) == pytest.approx(14.6, rel=0.01)


def test_water_lost():
    assert v.water_lost_g(1, 1) == pytest.approx(0.336, abs=0.0005)  # Faraday's law


@pytest.mark.parametrize(
    ("charger", "vents", "amps"),
    [  # EN 50272-3, air-flow page
        ("limited", "vented", 2),
        ("limited", "valve-regulated", 1),
        ("unlimited", "vented", 6),
        ("unlimited", "valve-regulated", 1.5),
        ("taper", "vented", 7),
    ],
)
def test_gas_current(charger, vents, amps):
    assert v.gas_current_a_per_100ah(charger, vents) == amps


@pytest.mark.parametrize(("gas", "air", "opening"), [(6, 16.2, 454), (2, 5.4, 151)])
def test_ventilation_by_the_standard(gas, air, opening):
    # EN 50272-3, air-flow page: 24 cells of 225 Ah
    flow = v.ventilation_m3_per_h(24, gas, 225)
    assert flow == pytest.approx(air)
    assert v.vent_opening_cm2(flow) == pytest.approx(opening, abs=1)


def test_the_standards_factor_is_dilution_times_gas_times_safety():
    assert v.ventilation_m3_per_h(1, 1, 100) == pytest.approx(24 * 0.42e-3 * 5, rel=0.01)


@given(st.integers(1, 48), st.floats(0.1, 100), st.floats(0.001, 0.04))
def test_the_air_needed_holds_the_fraction(cells, amps, fraction):
    gas = v.hydrogen_l_per_h(cells, amps)
    assert gas / 1000 / v.air_needed_m3_per_h(gas, fraction) == pytest.approx(fraction)


@pytest.mark.parametrize(
    "call",
    [
        lambda: c.charge_voltage_v("nickel", 24),
        lambda: c.charge_voltage_v("flooded", 24, stage="boost"),
        lambda: c.charge_voltage_v("flooded", 0),
        lambda: c.charge_current_limit_a("lithium", 100),
        lambda: c.charge_current_limit_a("gel", 0),
        lambda: c.charge_hours(50, 0),
        lambda: c.charge_hours(50, 20, 0.9),
        lambda: c.full_charge_hours(-1, 20),
        lambda: c.gassing_band_v(0),
        lambda: v.hydrogen_l_per_ah(100),
        lambda: v.hydrogen_l_per_ah(25, 10),
        lambda: v.hydrogen_l_per_h(24, -1),
        lambda: v.water_lost_g(0, 1),
        lambda: v.air_needed_m3_per_h(100, 0.05),
        lambda: v.hours_to_fraction(0, 100),
        lambda: v.hours_to_fraction(40, 0),
        lambda: v.gas_current_a_per_100ah("taper", "valve-regulated"),
        lambda: v.ventilation_m3_per_h(24, 60, 225),
        lambda: v.vent_opening_cm2(-1),
    ],
)
def test_outside_the_range_is_refused(call):
    with pytest.raises(OutOfRange, match="allowed"):
        call()

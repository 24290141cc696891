"""Hydrogen from charging lead-acid: how much, and the air it takes, from first principles and by standard."""

from __future__ import annotations

from triage.physics.limits import above, one_of, within
from triage.physics.units import FARADAY, GAS_CONSTANT, ZERO_CELSIUS

LOWER_EXPLOSIVE_FRACTION = 0.04
DESIGN_FRACTION = 0.01  # a quarter of the lower explosive limit
_WATER_G_PER_MOL = 18.015

# A per 100 Ah at the end of charge, by charger and kind of cell
_GAS_CURRENT = {
    ("limited", "vented"): 2.0,
    ("limited", "valve-regulated"): 1.0,
    ("unlimited", "vented"): 6.0,
    ("unlimited", "valve-regulated"): 1.5,
    ("taper", "vented"): 7.0,
}


def hydrogen_l_per_ah(celsius: float = 0.0, kilopascals: float = 101.325) -> float:
    """Hydrogen in litres from one cell for each Ah of overcharge.

    Formula: 3600 / (2 F) x R T / p
    Units: degrees C and kPa in, L/(Ah cell) out.
    Valid: -20 to 60 degrees C, 60 to 110 kPa, all current into gas.
    Source: Faraday's law; EN 50272-3 as printed on an air-flow page (0.42 L), industrial battery gas page
        (0.01474 cubic feet).

    >>> round(hydrogen_l_per_ah(), 4), round(hydrogen_l_per_ah(25), 4)
    (0.4181, 0.4564)
    """
    kelvin = within("temperature", celsius, -20, 60, "degC") + ZERO_CELSIUS
    moles = 3600 / (2 * FARADAY)
    return moles * GAS_CONSTANT * kelvin / within("pressure", kilopascals, 60, 110, "kPa")


def hydrogen_l_per_h(cells: int, amps: float, celsius: float = 25.0) -> float:
    """Hydrogen in litres per hour from a string of cells whose whole current makes gas.

    Formula: litres per Ah and cell x cells x A
    Units: cells, A and degrees C in, L/h out.
    Valid: 1 to 48 cells, 0 to 500 A.
    Source: Faraday's law.

    >>> round(hydrogen_l_per_h(24, 10), 1)
    109.5
    """
    within("cells", cells, 1, 48)
    return hydrogen_l_per_ah(celsius) * cells * within("current", amps, 0, 500, "A")


def water_lost_g(cells: int, overcharge_ah: float) -> float:
    """Water in grams split into gas by an overcharge.

    Formula: 3600 / (2 F) x 18.015 x cells x Ah
    Units: cells and Ah in, g out.
    Valid: 0 to 1000 Ah.
    Source: Faraday's law.

    >>> round(water_lost_g(1, 1), 3)
    0.336
    """
    moles = 3600 / (2 * FARADAY) * within("overcharge", overcharge_ah, 0, 1000, "Ah")
    return moles * _WATER_G_PER_MOL * within("cells", cells, 1, 48)


def air_needed_m3_per_h(hydrogen_l_h: float, fraction: float = DESIGN_FRACTION) -> float:
    """Air flow that keeps hydrogen at a fraction of the volume, if fully mixed.

    Formula: H2 / 1000 / fraction
    Units: L/h in, m3/h out; fraction 0.01 is 1 %.
    Valid: fractions of 0.001 to 0.04 (the lower explosive limit). Hydrogen gathers at the ceiling.
    Source: industrial battery gas page (4 % and 1 %); arithmetic.
    """
    within("hydrogen", hydrogen_l_h, 0, 1e5, "L/h")
    return hydrogen_l_h / 1000 / within("fraction", fraction, 0.001, LOWER_EXPLOSIVE_FRACTION)


def hours_to_fraction(room_m3: float, hydrogen_l_h: float, fraction: float = DESIGN_FRACTION) -> float:
    """Hours until a sealed room holds a fraction of hydrogen, if fully mixed; near the ceiling it is sooner.

    Formula: room x 1000 x fraction / H2
    Units: m3 and L/h in, hours out.
    Valid: fractions of 0.001 to 0.04.
    Source: arithmetic.

    >>> round(hours_to_fraction(40, 109.5), 2)
    3.65
    """
    within("fraction", fraction, 0.001, LOWER_EXPLOSIVE_FRACTION)
    return above("room", room_m3, 0, "m3") * 1000 * fraction / above("hydrogen", hydrogen_l_h, 0, "L/h")


def gas_current_a_per_100ah(charger: str, vents: str) -> float:
    """End-of-charge current that makes gas, per 100 Ah of capacity.

    Formula: voltage limited to 2.4 V per cell: 2 vented, 1 valve-regulated; no voltage limit: 6 or 1.5;
        taper: 7 (the upper of 5 to 7)
    Units: A per 100 Ah out.
    Valid: chargers "limited", "unlimited" and, for vented cells, "taper".
    Source: EN 50272-3 as printed on a page on battery-room air flow.
    """
    one_of("vents", vents, ("vented", "valve-regulated"))
    one_of("charger", charger, [kind for kind, cell in _GAS_CURRENT if cell == vents])
    return _GAS_CURRENT[charger, vents]


def ventilation_m3_per_h(cells: int, gas_a_per_100ah: float, capacity_ah: float) -> float:
    """Air flow for charging traction batteries by the standard's formula.

    Formula: Q = 0.05 x cells x I_gas x C / 100, where 0.05 is 24 (dilution) x 0.00042 x 5 (safety)
    Units: A per 100 Ah and Ah in, m3/h out.
    Valid: 1 to 48 cells, 0.1 to 10 A per 100 Ah.
    Source: EN 50272-3 as printed on a page on battery-room air flow; its successor IEC 62485-3 from memory.

    >>> round(ventilation_m3_per_h(24, 6, 225), 1)
    16.2
    """
    within("cells", cells, 1, 48)
    within("gas current", gas_a_per_100ah, 0.1, 10, "A per 100 Ah")
    return 0.05 * cells * gas_a_per_100ah * above("capacity", capacity_ah, 0, "Ah") / 100


def vent_opening_cm2(air_m3_per_h: float) -> float:
    """Area of each of two openings, in and out, that passes an air flow by itself.

    Formula: A = 28 x Q
    Units: m3/h in, cm2 out, for each opening.
    Valid: 0 to 1000 m3/h, openings that lead outdoors.
    Source: EN 50272-3 as printed on a page on battery-room air flow.
    """
    return 28 * within("air flow", air_m3_per_h, 0, 1000, "m3/h")

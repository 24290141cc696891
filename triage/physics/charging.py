"""Charging: voltage by chemistry, stage and temperature, current limits, time to full, gassing."""

from __future__ import annotations

from triage.physics.batteries import freezing_point_c
from triage.physics.limits import OutOfRange, above, one_of, within

LEAD_ACID = ("flooded", "agm", "gel")

_VOLTS_PER_CELL = {
    ("flooded", "absorption"): 2.45,
    ("flooded", "equalise"): 15.5 / 6,
    ("flooded", "float"): 13.4 / 6,
    ("agm", "absorption"): 2.40,
    ("agm", "float"): 2.25,
    ("gel", "absorption"): 2.40,
    ("gel", "float"): 2.25,
    ("lithium", "absorption"): 57.6 / 16,
    ("lithium", "float"): 54.4 / 16,
}
_LIMIT_HOURS = {"flooded": 8.0, "agm": 5.0, "gel": 20.0}  # a current of capacity / hours


def charge_voltage_v(chemistry: str, cells: int, celsius: float = 25.0, stage: str = "absorption") -> float:
    """Charger voltage for cells in series, by chemistry and stage; lead-acid is corrected for temperature.

    Formula: cells x (V per cell at 25 C - 0.005 x (T - 25)); lithium without the correction
    Units: cells and degrees C in, V out.
    Valid: lead-acid -20 to 49 degrees C and never frozen (see refuse_frozen), lithium 0 to 45 degrees C.
        Per cell at 25 C: flooded 2.45, equalise 2.58, float 2.23; agm 2.40 (the low end of 2.40 to 2.45),
        float 2.25; gel 2.40, float 2.25; lithium 3.60, float 3.40. Only flooded is equalised. The maker's
        own figure comes first.
    Source: deep-cycle maker's user guide, 4.4.1; "Battery Type to Charge Voltages"; "Deep-Cycle Gel Batteries
        - Charger Voltage Settings" (also the -5 mV); "Charging voltages, why are they important" (agm);
        upper bound 49 C "Charger Voltage Settings for Deep-Cycle Flooded or Wet Cell Batteries"; no
        equalising of gel, 0 C for lithium and the other bounds from memory.

    >>> round(charge_voltage_v("flooded", 24, celsius=0), 1)
    61.8
    """
    one_of("chemistry", chemistry, (*LEAD_ACID, "lithium"))
    stages = [known for kind, known in _VOLTS_PER_CELL if kind == chemistry]
    one_of("stage", stage, stages, f"{chemistry} is not charged otherwise")
    within("cells", cells, 1, 48)
    return cells * (_VOLTS_PER_CELL[chemistry, stage] + _compensation_v(chemistry, celsius))


def _compensation_v(chemistry: str, celsius: float) -> float:
    if chemistry == "lithium":
        within("temperature", celsius, 0, 45, "degC; a lithium cell is damaged by charging below freezing")
        return 0.0
    within("temperature", celsius, -20, 49, "degC")
    return -0.005 * (celsius - 25)


def refuse_frozen(gravity: float, celsius: float) -> float:
    """Margin in degrees C above the freezing point of the electrolyte; frozen raises OutOfRange.

    Formula: T - freezing point
    Units: corrected gravity and degrees C in, degrees C out.
    Valid: margins of more than 0; a frozen battery is never charged.
    Source: "Charger Voltage Settings for Deep-Cycle Flooded or Wet Cell Batteries"; "Table III. Electrolyte
        Freezing Points".

    >>> refuse_frozen(1.265, -20.0) > 30
    True
    """
    freezes = freezing_point_c(gravity)
    if not celsius > freezes:
        raise OutOfRange("temperature", celsius, f"above {freezes:.0f} degC, where this electrolyte freezes")
    return celsius - freezes


def charge_current_limit_a(chemistry: str, capacity_ah: float) -> float:
    """Largest charging current to keep up for long.

    Formula: flooded C/8, agm C/5, gel C/20
    Units: Ah (20 h rate) in, A out.
    Valid: lead-acid; lithium by its maker's figure only.
    Source: forum page quoting a battery FAQ (its 26 A for 220 Ah is a slip: 220/8 is 27.5); agm "12V AGM
        battery charging voltage".

    >>> charge_current_limit_a("flooded", 220)
    27.5
    """
    one_of("chemistry", chemistry, LEAD_ACID, "a lithium pack's maker gives its limit")
    return above("capacity", capacity_ah, 0, "Ah") / _LIMIT_HOURS[chemistry]


def charge_hours(removed_ah: float, charger_a: float, factor: float = 1.2) -> float:
    """Hours a lead-acid pack takes to come back to about 90 %.

    Formula: Ah removed x factor / A; pages print a factor of 1.2 or 1.25
    Units: Ah and A in, hours out.
    Valid: factor 1.0 to 1.3. A rule of thumb: the current falls off towards the end.
    Source: "Charging Rates and Times" (1.2); charger manual, "Calculating Charge Time" (1.25).

    >>> charge_hours(100 * 0.50, 20, factor=1.25)
    3.125
    """
    above("charge removed", removed_ah, 0, "Ah")
    return removed_ah * within("factor", factor, 1.0, 1.3) / above("charger current", charger_a, 0, "A")


def full_charge_hours(removed_ah: float, charger_a: float, factor: float = 1.2) -> float:
    """Hours a lead-acid pack takes to be full.

    Formula: Ah removed x factor / A + 3
    Units: Ah and A in, hours out.
    Valid: as charge_hours.
    Source: "Charging Rates and Times".
    """
    return charge_hours(removed_ah, charger_a, factor) + 3


def gassing_band_v(cells: int) -> tuple[float, float]:
    """Voltages between which published gassing points of lead-acid at 25 C lie.

    Formula: cells x 2.30 and 2.45 V
    Units: cells in, V and V out.
    Valid: about 25 degrees C; the point falls as temperature rises.
    Source: "BATTERY CHARGING" (charger manual, 14.0 V per 12 V); forum page (2.40 +/- 0.05).
    """
    return 2.30 * within("cells", cells, 1, 48), 2.45 * cells

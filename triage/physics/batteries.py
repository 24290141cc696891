"""Rested lead-acid batteries: state of charge by voltage and by hydrometer, spread, freezing point."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from statistics import median

import numpy as np

from triage.physics.limits import OutOfRange, one_of, within
from triage.physics.units import to_celsius, to_fahrenheit

# "State Of Charge - SOC Measurement" and a battery maker's page print the same five rows.
_SOC = (0.0, 25.0, 50.0, 75.0, 100.0)
_REST_CELL_V = tuple(volts / 6 for volts in (11.89, 12.06, 12.24, 12.45, 12.65))
_GRAVITY = (1.120, 1.155, 1.190, 1.225, 1.265)
# "Table II. Battery Condition (Corrected to 80 F.)", army technical manual; discharged counts as 0 %.
_ARMY_SOC = (0.0, 25.0, 50.0, 75.0, 100.0)
_ARMY_GRAVITY = (1.130, 1.190, 1.220, 1.250, 1.280)
# "Table III. Electrolyte Freezing Points", same manual; retail charts are on the unsafe side and unused.
_FREEZING_GRAVITY = (1.000, 1.100, 1.150, 1.200, 1.250, 1.280)
_FREEZING_F = (32.0, 19.0, 5.0, -16.0, -62.0, -90.0)


class Spread(StrEnum):
    """What the difference between the cells or units of a pack calls for."""

    FINE = "fine"
    EQUALISE = "equalise and retest"
    CONDEMN = "condemn"


def soc_from_rest_voltage(volts: float, cells: int, chemistry: str = "flooded") -> float:
    """State of charge in percent from the voltage after at least 8 h without load or charge.

    Formula: linear between 11.89, 12.06, 12.24, 12.45 and 12.65 V (0 to 100 % by quarters) per 6 cells.
    Units: V and cells in series in, % out (plus or minus 10 at best).
    Valid: flooded lead-acid, 1.75 to 2.20 V per cell, no correction for temperature. Lower is a failed cell,
        higher is a charge not yet settled. Never lithium: its voltage is flat from 20 to 80 %.
    Source: "State Of Charge - SOC Measurement"; rest time "Batteries state of charge"; the bounds are
        common practice, no source.

    >>> round(soc_from_rest_voltage(12.45, 6))
    75
    """
    one_of("chemistry", chemistry, ("flooded",), "the table holds for no other chemistry")
    within("cells", cells, 1, 48)
    within("rest voltage", volts, 1.75 * cells, 2.20 * cells, "V")
    return float(np.interp(volts / cells, _REST_CELL_V, _SOC))


def rest_voltage_at_soc(soc_pct: float, cells: int) -> float:
    """Rest voltage in volts to expect of flooded cells in series at a state of charge.

    Formula: linear between the same rows, the other way round
    Units: % and cells in, V out.
    Valid: 0 to 100 %, flooded, rested.
    Source: "State Of Charge - SOC Measurement".

    >>> round(rest_voltage_at_soc(100, 24), 2)
    50.6
    """
    within("state of charge", soc_pct, 0, 100, "%")
    return float(np.interp(soc_pct, _SOC, _REST_CELL_V)) * within("cells", cells, 1, 48)


def soc_error_from_meter(error_v: float, cells: int) -> float:
    """State of charge in percent that a meter error hides.

    Formula: error / cells / (2.108 V - 1.982 V) x 100
    Units: V and cells in, % out.
    Valid: flooded, errors of 0 to 0.1 V per cell.
    Source: mailing-list post (1 % of 12 V is about 15 %); slope from "State Of Charge - SOC Measurement".
    """
    within("meter error", error_v, 0, 0.1 * within("cells", cells, 1, 48), "V")
    return error_v / cells / (_REST_CELL_V[-1] - _REST_CELL_V[0]) * 100


def rest_voltage_shift_v(celsius: float, cells: int) -> float:
    """How far temperature alone moves a rest voltage: too little to correct for.

    Formula: 0.0002 x cells x (T - 26.7). Guides that print 0.024 V per 10 F took the hydrometer table
        times six.
    Units: degrees C and cells in, V out.
    Valid: -20 to 50 degrees C.
    Source: from memory.

    >>> round(rest_voltage_shift_v(36.7, 6), 3)
    0.012
    """
    return 0.0002 * within("cells", cells, 1, 48) * (within("temperature", celsius, -20, 50, "degC") - 80 / 3)


def corrected_gravity(reading: float, celsius: float) -> float:
    """Specific gravity as it would read at 80 F (26.7 C).

    Formula: reading + 0.004 x (F - 80) / 10
    Units: gravity (water = 1) and degrees C in, gravity out.
    Valid: readings 1.000 to 1.350, -17.8 to 71.1 degrees C (0 to 160 F).
    Source: "Hydrometer Temperature Correction" (vehicle workshop manual); two cart service manuals agree.

    >>> round(corrected_gravity(1.250, -6.667), 3)
    1.226
    """
    within("hydrometer reading", reading, 1.0, 1.35)
    within("temperature", celsius, -17.8, 71.2, "degC")
    return reading + 0.0004 * (to_fahrenheit(celsius) - 80)


def soc_from_gravity(gravity: float) -> float:
    """State of charge in percent from a corrected specific gravity.

    Formula: linear between 1.120, 1.155, 1.190, 1.225 and 1.265 (0 to 100 % by quarters).
    Units: gravity at 80 F in, % out (plus or minus 10 at best).
    Valid: 1.000 to 1.300, flooded. Makers fill to different gravities: see soc_range_from_gravity.
    Source: "State Of Charge - SOC Measurement"; a battery maker's page prints the same rows.

    >>> round(soc_from_gravity(1.190))
    50
    """
    return float(np.interp(within("specific gravity", gravity, 1.0, 1.3), _GRAVITY, _SOC))


def soc_range_from_gravity(gravity: float) -> tuple[float, float]:
    """Lowest and highest state of charge in percent that published tables give for one gravity.

    Formula: linear in the army table (1.130, 1.190, 1.220, 1.250, 1.280) and in the trade's (1.120,
        1.155, 1.190, 1.225, 1.265), 0 to 100 % by quarters
    Units: gravity at 80 F in, % and % out.
    Valid: 1.000 to 1.300, flooded.
    Source: "Table II. Battery Condition (Corrected to 80 F.)", army technical manual, beside
        "State Of Charge - SOC Measurement".

    >>> soc_range_from_gravity(1.190)
    (25.0, 50.0)
    """
    army = float(np.interp(within("specific gravity", gravity, 1.0, 1.3), _ARMY_GRAVITY, _ARMY_SOC))
    trade = soc_from_gravity(gravity)
    return min(army, trade), max(army, trade)


def gravity_at_soc(soc_pct: float) -> float:
    """Specific gravity at 80 F to expect at a state of charge; the inverse of soc_from_gravity.

    Formula: linear in the same five rows.
    Units: % in, gravity out.
    Valid: 0 to 100 %.
    Source: "State Of Charge - SOC Measurement".
    """
    return float(np.interp(within("state of charge", soc_pct, 0, 100, "%"), _SOC, _GRAVITY))


def is_full_gravity(gravity: float) -> bool:
    """Whether a corrected gravity counts as full for some maker.

    Formula: 1.255 <= gravity <= 1.285
    Units: gravity at 80 F in.
    Valid: 1.000 to 1.300. Makers print 1.265, 1.277 or 1.280 as full; ask for the maker's own figure.
    Source: deep-cycle maker's FAQ (1.277 +/- 0.007); "State Of Charge - SOC Measurement" (1.265); "Table II.
        Battery Condition" (1.280).
    """
    return 1.255 <= within("specific gravity", gravity, 1.0, 1.3) <= 1.285


def spread(readings: Sequence[float]) -> float:
    """Difference between the highest and the lowest of the readings.

    Formula: max - min
    Units: those of the readings.
    Valid: two readings or more.
    Source: definition.
    """
    if len(readings) < 2:
        raise OutOfRange("number of readings", len(readings), "two or more")
    return max(readings) - min(readings)


def weakest_unit(readings: Sequence[float]) -> tuple[int, float]:
    """Position (from 0) of the lowest reading, and how far it lies below the median of all.

    Formula: median - min
    Units: those of the readings.
    Valid: two readings or more.
    Source: common practice, no source (a pack's total hides one bad unit).

    >>> weakest_unit([6.3, 6.3, 5.3, 6.3])
    (2, 1.0)
    """
    spread(readings)
    lowest = min(readings)
    return list(readings).index(lowest), median(readings) - lowest


def gravity_spread_verdict(difference: float, retested: bool) -> Spread:
    """What a spread between the corrected gravities of cells after a full charge calls for.

    Formula: up to 0.030 fine; 0.050 or more after recharge and retest condemns; between, or before a
        retest, equalise.
    Units: gravity in.
    Valid: 0 to 0.300, flooded, after a full charge.
    Source: two cart service manuals (0.050); deep-cycle maker's FAQ (0.030).
    """
    return _verdict(within("spread", round(difference, 6), 0, 0.3), 0.030, 0.050, retested)


def voltage_spread_verdict(difference_v: float, cells: int, retested: bool) -> Spread:
    """What a spread between the rest voltages of alike units calls for.

    Formula: up to 0.05 V per cell fine (0.15 V for 6 V, 0.30 V for 12 V). A spread of the table's whole way
        from full to flat (0.127 V per cell) that outlives a recharge is a failed cell, not a low charge.
    Units: V and cells per unit in.
    Valid: 0 V to the unit's full voltage; lead-acid, rested.
    Source: deep-cycle maker's FAQ (0.15 and 0.30 V); the condemning figure is worked out from "State Of
        Charge - SOC Measurement", common practice, no source.
    """
    within("spread", round(difference_v, 6), 0, 2.2 * within("cells", cells, 1, 6), "V")
    return _verdict(round(difference_v / cells, 6), 0.05, _REST_CELL_V[-1] - _REST_CELL_V[0], retested)


def _verdict(difference: float, fine: float, condemned: float, retested: bool) -> Spread:
    if difference <= fine:
        return Spread.FINE
    return Spread.CONDEMN if retested and difference >= condemned else Spread.EQUALISE


def freezing_point_c(gravity: float) -> float:
    """Temperature in degrees C at which electrolyte of a corrected gravity freezes.

    Formula: linear between 1.000 (32 F), 1.100 (19 F), 1.150 (5 F), 1.200 (-16 F), 1.250 (-62 F), 1.280
        (-90 F)
    Units: gravity at 80 F in, degrees C out (plus or minus 3).
    Valid: 1.000 to 1.300; above 1.280 the figure of 1.280.
    Source: "Table III. Electrolyte Freezing Points", army technical manual, and an army ordnance lesson.

    >>> round(freezing_point_c(1.120))  # a flat battery
    -10
    """
    within("specific gravity", gravity, 1.0, 1.3)
    return to_celsius(float(np.interp(gravity, _FREEZING_GRAVITY, _FREEZING_F)))

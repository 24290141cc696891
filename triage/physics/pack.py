"""Pack arithmetic: batteries in series and parallel, layouts that make a voltage, filler caps, cells."""

from __future__ import annotations

from dataclasses import dataclass

from triage.physics.limits import OutOfRange, above, within

USUAL_PACKS_V = (36.0, 48.0, 72.0)
USUAL_UNITS_V = (6.0, 8.0, 12.0)


@dataclass(frozen=True, slots=True)
class Layout:
    """So many units of so many volts in series."""

    count: int
    unit_v: float


@dataclass(frozen=True, slots=True)
class LithiumWindow:
    """Voltages of a lithium iron phosphate pack, lowest first."""

    empty_v: float
    everyday_floor_v: float
    nominal_v: float
    full_v: float


def cells_in(nominal_v: float) -> int:
    """Lead-acid cells in series in a unit or pack.

    Formula: V / 2
    Units: nominal V in.
    Valid: even voltages of 2 to 96 V.
    Source: definition (2 V nominal per lead-acid cell).

    >>> cells_in(36)
    18
    """
    within("nominal voltage", nominal_v, 2, 96, "V")
    if nominal_v % 2:
        raise OutOfRange("nominal voltage", nominal_v, "an even number of volts (2 V per lead-acid cell)")
    return int(nominal_v / 2)


def caps_per_unit(unit_v: float) -> int:
    """Filler caps on one flooded unit: one per cell.

    Formula: V / 2
    Units: nominal V in.
    Valid: 6, 8 and 12 V units.
    Source: worked out, one cap per 2 V cell.

    >>> [caps_per_unit(volts) for volts in (6, 8, 12)]
    [3, 4, 6]
    """
    if unit_v not in USUAL_UNITS_V:
        raise OutOfRange("unit voltage", unit_v, "6, 8 or 12 V")
    return cells_in(unit_v)


def unit_voltage_from_caps(caps: int) -> float:
    """Nominal voltage of a flooded unit from its filler caps; the inverse of caps_per_unit.

    Formula: 2 x caps
    Units: V out.
    Valid: 3, 4 or 6 caps.
    Source: worked out, one cap per 2 V cell.
    """
    if caps not in (3, 4, 6):
        raise OutOfRange("filler caps per unit", caps, "3, 4 or 6")
    return 2.0 * caps


def pack_voltage(count: int, unit_v: float, strings: int = 1) -> float:
    """Nominal voltage of equal units wired as one or more equal strings.

    Formula: V x count / strings
    Units: V in, V out.
    Valid: 1 to 48 units, 2 to 96 V each, strings of equal length.
    Source: definition of series and parallel.

    >>> pack_voltage(6, 8)
    48.0
    """
    within("units", count, 1, 48)
    within("unit voltage", unit_v, 2, 96, "V")
    if within("strings", strings, 1, 12) and count % strings:
        raise OutOfRange("strings", strings, f"a number that divides the {count} units evenly")
    return float(unit_v * count / strings)


def pack_capacity_ah(unit_ah: float, strings: int = 1) -> float:
    """Capacity of a pack: series adds nothing, parallel strings add.

    Formula: Ah x strings
    Units: Ah in, Ah out.
    Valid: more than 0 Ah, 1 to 12 strings.
    Source: definition of series and parallel.
    """
    return above("capacity", unit_ah, 0, "Ah") * within("strings", strings, 1, 12)


def pack_energy_wh(volts: float, capacity_ah: float) -> float:
    """Nominal energy of a pack.

    Formula: V x Ah
    Units: V and Ah in, Wh out.
    Valid: more than 0 V and 0 Ah.
    Source: definition.

    >>> pack_energy_wh(36, 225)
    8100
    """
    return above("voltage", volts, 0, "V") * above("capacity", capacity_ah, 0, "Ah")


def layouts_for(pack_v: float, units_v: tuple[float, ...] = USUAL_UNITS_V) -> tuple[Layout, ...]:
    """Every way to make a pack voltage from one string of equal usual units, most units first.

    Formula: count = pack V / unit V, where whole
    Units: V in.
    Valid: 6 to 96 V; empty where no usual unit divides it.
    Source: arithmetic.

    >>> layouts_for(36)
    (Layout(count=6, unit_v=6.0), Layout(count=3, unit_v=12.0))
    """
    within("pack voltage", pack_v, 6, 96, "V")
    return tuple(Layout(int(pack_v / unit), unit) for unit in sorted(units_v) if pack_v % unit == 0)


def packs_from_count(count: int) -> tuple[Layout, ...]:
    """Layouts of a usual pack (36, 48 or 72 V) that a bare number of units can mean.

    Formula: count x 6, 8 or 12 V, where 36, 48 or 72 V
    Units: none in.
    Valid: 1 to 48 units. More than one layout means: ask for the filler caps per unit.
    Source: arithmetic.

    >>> [layout.count * layout.unit_v for layout in packs_from_count(6)]
    [36.0, 48.0, 72.0]
    """
    within("units", count, 1, 48)
    return tuple(Layout(count, unit) for unit in USUAL_UNITS_V if count * unit in USUAL_PACKS_V)


def lithium_cells(nominal_v: float) -> int:
    """Lithium iron phosphate cells in series in a pack sold at a nominal voltage.

    Formula: V / 3.2
    Units: nominal V in.
    Valid: whole multiples of 3.2 V up to 102.4 V, but not 48 V: that names a class (15 or 16 cells), so ask
        for the figure on the plate.
    Source: "Do you know the lithium batteries"; the ambiguity of 48 V is common practice, no source.

    >>> lithium_cells(51.2)
    16
    """
    cells = within("nominal voltage", nominal_v, 3.2, 102.4, "V") / 3.2
    if abs(cells - round(cells)) > 1e-6 or nominal_v == 48:
        raise OutOfRange("nominal voltage", nominal_v, "the multiple of 3.2 V on its plate, such as 51.2")
    return round(cells)


def lithium_window(cells: int) -> LithiumWindow:
    """Voltages of a lithium iron phosphate pack at empty, everyday floor, nominal and full.

    Formula: cells x 2.5, 2.8, 3.2 and 3.65 V
    Units: cells in series in, V out.
    Valid: 1 to 32 cells. Not trip points: a protection board cuts off elsewhere.
    Source: state-of-charge chart page (2.5, 3.65); "Do you know the lithium batteries" (3.2); 2.8 is
        common practice, no source.

    >>> lithium_window(16).full_v
    58.4
    """
    within("cells", cells, 1, 32)
    return LithiumWindow(2.5 * cells, 2.8 * cells, 3.2 * cells, 3.65 * cells)

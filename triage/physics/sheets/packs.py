"""Worksheets for pack arithmetic: what units make, what makes a voltage, what a count can mean."""

from __future__ import annotations

from triage.physics import pack as p
from triage.physics.sheets.record import Input, Outcome, Worksheet

_COUNT = Input("count", "number of units", kind="whole", low=1, high=48)
_MIXING = "Units of different age, type or capacity in one string hold each other back."


def _pack(count: int, unit: float, capacity: float, strings: int) -> tuple[Outcome, ...]:
    volts, amp_hours = p.pack_voltage(count, unit, strings), p.pack_capacity_ah(capacity, strings)
    return (
        Outcome("pack voltage", volts, "V"),
        Outcome("pack capacity", amp_hours, "Ah"),
        Outcome("energy", p.pack_energy_wh(volts, amp_hours) / 1000, "kWh"),
    )


def _layouts(pack: float) -> tuple[Outcome, ...]:
    return tuple(_layout(layout) for layout in p.layouts_for(pack)) or (Outcome("layout", "none of usual units"),)


def _meanings(count: int) -> tuple[Outcome, ...]:
    return tuple(_layout(layout) for layout in p.packs_from_count(count)) or (Outcome("pack", "none of the usual"),)


def _layout(layout: p.Layout) -> Outcome:
    caps = p.caps_per_unit(layout.unit_v)
    label = f"{layout.count} units of {layout.unit_v:g} V, each with {caps} filler caps if flooded"
    return Outcome(label, layout.count * layout.unit_v, "V")


def _lithium(nominal: float) -> tuple[Outcome, ...]:
    cells = p.lithium_cells(nominal)
    window = p.lithium_window(cells)
    return (
        Outcome("cells in series", float(cells)),
        Outcome("empty", window.empty_v, "V"),
        Outcome("everyday floor", window.everyday_floor_v, "V"),
        Outcome("full", window.full_v, "V"),
    )


SHEETS = (
    Worksheet(
        "pack",
        "Voltage, capacity and energy of a pack",
        (
            _COUNT,
            Input("unit", "voltage of one unit", "V", low=2, high=96),
            Input("capacity", "capacity of one unit", "Ah", low=1, high=2000),
            Input("strings", "equal strings in parallel", default=1, kind="whole", low=1, high=12),
        ),
        _pack,
        (p.pack_voltage, p.pack_capacity_ah, p.pack_energy_wh),
        _MIXING,
    ),
    Worksheet(
        "pack-layouts",
        "Units that make a pack voltage",
        (Input("pack", "pack voltage", "V", low=6, high=96),),
        _layouts,
        (p.layouts_for, p.caps_per_unit),
        _MIXING,
    ),
    Worksheet(
        "battery-count",
        "Packs that a number of units can mean",
        (_COUNT,),
        _meanings,
        (p.packs_from_count, p.caps_per_unit),
        "More than one line: count the filler caps of one unit before ordering or charging anything.",
    ),
    Worksheet(
        "lithium-pack",
        "Voltages of a lithium iron phosphate pack",
        (Input("nominal", "nominal voltage on the plate", "V", low=3.2, high=102.4),),
        _lithium,
        (p.lithium_cells, p.lithium_window),
        "The pack's own charger only: one with an equalise stage over-charges it.",
    ),
)

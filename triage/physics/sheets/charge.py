"""Worksheets for charging: voltage, time, hydrogen, ventilation."""

from __future__ import annotations

from triage.physics import charging as c
from triage.physics import ventilation as v
from triage.physics.pack import cells_in, lithium_cells
from triage.physics.sheets.record import Curve, Input, Outcome, Worksheet, curve, steps

_CELLS = Input("cells", "cells in series", kind="whole", low=1, high=48)
_TEMPERATURE = Input("temperature", "temperature", "degC", default=25.0, low=-20, high=60)
_CAPACITY = Input("capacity", "capacity at the 20 h rate", "Ah", low=1, high=2000)
_GAS = "Hydrogen gathers at the ceiling and in the battery bay: ventilate high up, no flames or sparks."


def _voltage(chemistry: str, nominal: float, temperature: float, stage: str) -> tuple[Outcome, ...]:
    cells = _series_cells(chemistry, nominal)
    return (
        Outcome("charger voltage", c.charge_voltage_v(chemistry, cells, temperature, stage), "V"),
        Outcome("per cell", c.charge_voltage_v(chemistry, 1, temperature, stage), "V"),
    )


def _voltage_curve(chemistry: str, nominal: float, temperature: float, stage: str) -> Curve:
    cells = _series_cells(chemistry, nominal)
    span = steps(0, 45, 19) if chemistry == "lithium" else steps(-20, 49, 24)
    return curve(
        "temperature, °C",
        "charger voltage, V",
        span,
        lambda x: c.charge_voltage_v(chemistry, cells, x, stage),
    )


def _series_cells(chemistry: str, nominal: float) -> int:
    return lithium_cells(nominal) if chemistry == "lithium" else cells_in(nominal)


def _time(removed: float, charger: float, factor: float) -> tuple[Outcome, ...]:
    return (
        Outcome("to about 90 %", c.charge_hours(removed, charger, factor), "h"),
        Outcome("to full", c.full_charge_hours(removed, charger, factor), "h"),
    )


def _hydrogen(cells: int, amps: float, temperature: float, room: float) -> tuple[Outcome, ...]:
    gas = v.hydrogen_l_per_h(cells, amps, temperature)
    return (
        Outcome("hydrogen", gas, "L/h"),
        Outcome("air to stay at 1 %", v.air_needed_m3_per_h(gas), "m^3/h"),
        Outcome("sealed room at 1 % after", v.hours_to_fraction(room, gas), "h"),
        Outcome("sealed room at 4 %, which can explode, after", v.hours_to_fraction(room, gas, 0.04), "h"),
    )


def _ventilation(cells: int, capacity: float, charger: str, vents: str) -> tuple[Outcome, ...]:
    air = v.ventilation_m3_per_h(cells, v.gas_current_a_per_100ah(charger, vents), capacity)
    return Outcome("air flow", air, "m^3/h"), Outcome("each of two openings", v.vent_opening_cm2(air), "cm^2")


SHEETS = (
    Worksheet(
        "charge-voltage",
        "Charger voltage by chemistry and temperature",
        (
            Input("chemistry", "chemistry", choices=(*c.LEAD_ACID, "lithium")),
            Input("nominal", "nominal voltage of the unit or pack", "V", low=3.2, high=102.4),
            _TEMPERATURE,
            Input("stage", "stage", default="absorption", choices=("absorption", "equalise", "float")),
        ),
        _voltage,
        (c.charge_voltage_v,),
        "The maker's figure comes first. Never charge a frozen battery, nor lithium below 0 °C.",
        _voltage_curve,
    ),
    Worksheet(
        "charge-time",
        "Time to charge a lead-acid pack",
        (
            Input("removed", "charge taken out", "Ah", low=1, high=2000),
            Input("charger", "charger current", "A", low=1, high=500),
            Input("factor", "overcharge factor", default=1.2, low=1.0, high=1.3),
        ),
        _time,
        (c.charge_hours, c.full_charge_hours),
        "A rule of thumb: the current falls off towards the end.",
    ),
    Worksheet(
        "hydrogen",
        "Hydrogen at the end of charge, from first principles",
        (
            _CELLS,
            Input("amps", "current at the end of charge", "A", low=0.1, high=500),
            _TEMPERATURE,
            Input("room", "volume of the room", "m^3", default=40.0, low=1, high=10000),
        ),
        _hydrogen,
        (v.hydrogen_l_per_ah, v.hydrogen_l_per_h, v.air_needed_m3_per_h, v.hours_to_fraction),
        _GAS,
    ),
    Worksheet(
        "ventilation",
        "Ventilation for charging traction batteries",
        (
            _CELLS,
            _CAPACITY,
            Input("charger", "charger", default="unlimited", choices=("limited", "unlimited", "taper")),
            Input("vents", "cells", default="vented", choices=("vented", "valve-regulated")),
        ),
        _ventilation,
        (v.ventilation_m3_per_h, v.gas_current_a_per_100ah, v.vent_opening_cm2),
        f"{_GAS} Local codes come first.",
    ),
)

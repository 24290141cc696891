"""Worksheets for rested batteries: state of charge, hydrometer, spread, freezing."""

from __future__ import annotations

from triage.physics import batteries as b
from triage.physics.pack import cells_in
from triage.physics.sheets.record import Curve, Input, Outcome, Worksheet, curve, steps

_NOMINAL = Input("nominal", "nominal voltage of the unit or pack", "V", low=6, high=96)
_GRAVITY = Input("gravity", "specific gravity, corrected to 80 °F", low=1.0, high=1.3)
_RETESTED = Input("retested", "measured again after a full recharge", default="no", choices=("no", "yes"))
_ROUGH = "A guide to about 10 %. The battery maker's own figures come first."
_ACID = "Electrolyte is acid: goggles and gloves, and water at hand."


def _charge(volts: float, nominal: float) -> tuple[Outcome, ...]:
    cells = cells_in(nominal)
    return (
        Outcome("state of charge", b.soc_from_rest_voltage(volts, cells), "%"),
        Outcome("rest voltage when full", b.rest_voltage_at_soc(100, cells), "V"),
        Outcome("rest voltage when flat", b.rest_voltage_at_soc(0, cells), "V"),
    )


def _charge_curve(volts: float, nominal: float) -> Curve:
    cells = cells_in(nominal)
    rested = [b.rest_voltage_at_soc(percent, cells) for percent in steps(0, 100, 21)]
    x_label, y_label = "voltage after 8 h of rest, V", "state of charge, %"
    return curve(x_label, y_label, rested, lambda volts: b.soc_from_rest_voltage(volts, cells))


def _hydrometer(reading: float, temperature: float) -> tuple[Outcome, ...]:
    gravity = b.corrected_gravity(reading, temperature)
    low, high = b.soc_range_from_gravity(gravity)
    return (
        Outcome("corrected gravity", gravity),
        Outcome("state of charge, lowest by published tables", low, "%"),
        Outcome("state of charge, highest by published tables", high, "%"),
        Outcome("full for some maker", "yes" if b.is_full_gravity(gravity) else "no"),
        Outcome("freezes at", b.freezing_point_c(gravity), "degC"),
    )


def _units(volts: tuple[float, ...], nominal: float, retested: str) -> tuple[Outcome, ...]:
    difference = b.spread(volts)
    index, behind = b.weakest_unit(volts)
    return (
        Outcome("spread", difference, "V"),
        Outcome("verdict", b.voltage_spread_verdict(difference, cells_in(nominal), retested == "yes")),
        Outcome("weakest, counted from the first given", float(index + 1)),
        Outcome("behind the middle one by", behind, "V"),
    )


def _cells(gravities: tuple[float, ...], retested: str) -> tuple[Outcome, ...]:
    difference = b.spread(gravities)
    index, behind = b.weakest_unit(gravities)
    return (
        Outcome("spread", difference),
        Outcome("verdict", b.gravity_spread_verdict(difference, retested == "yes")),
        Outcome("weakest, counted from the first given", float(index + 1)),
        Outcome("behind the middle one by", behind),
    )


def _freezing(gravity: float) -> tuple[Outcome, ...]:
    return (Outcome("freezes at", b.freezing_point_c(gravity), "degC"),)


def _freezing_curve(gravity: float) -> Curve:
    return curve("specific gravity", "freezes at, °C", steps(1.0, 1.28, 29), b.freezing_point_c)


SHEETS = (
    Worksheet(
        "state-of-charge",
        "State of charge from rest voltage (flooded lead-acid)",
        (Input("volts", "voltage after 8 h of rest", "V", low=3, high=110), _NOMINAL),
        _charge,
        (b.soc_from_rest_voltage,),
        f"{_ROUGH} A pack's total hides one bad unit: measure each.",
        _charge_curve,
    ),
    Worksheet(
        "hydrometer",
        "Hydrometer reading corrected for temperature",
        (
            Input("reading", "hydrometer reading", low=1.0, high=1.35),
            Input("temperature", "temperature of the electrolyte", "degC", default=80 / 3, low=-17.8, high=71.2),
        ),
        _hydrometer,
        (b.corrected_gravity, b.soc_range_from_gravity, b.is_full_gravity, b.freezing_point_c),
        f"{_ROUGH} {_ACID}",
    ),
    Worksheet(
        "battery-spread",
        "Spread of rest voltages between the units of a pack",
        (
            Input("volts", "rest voltage of each unit", "V", kind="numbers", low=0, high=15),
            Input("nominal", "nominal voltage of one unit", "V", low=6, high=12),
            _RETESTED,
        ),
        _units,
        (b.voltage_spread_verdict, b.weakest_unit),
        "Replace in matched sets of one type and age.",
    ),
    Worksheet(
        "gravity-spread",
        "Spread of specific gravity between cells",
        (Input("gravities", "corrected gravity of each cell", kind="numbers", low=1.0, high=1.3), _RETESTED),
        _cells,
        (b.gravity_spread_verdict, b.weakest_unit),
        _ACID,
    ),
    Worksheet(
        "freezing-point",
        "Freezing point of electrolyte",
        (_GRAVITY,),
        _freezing,
        (b.freezing_point_c,),
        "Never charge a frozen battery.",
        _freezing_curve,
    ),
)

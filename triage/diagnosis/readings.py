"""What measurements come to: a flat pack, one weak battery, cells that differ. Worked out by the physics room."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from statistics import median

from triage.model import Fact, FactValue
from triage.physics.batteries import (
    Spread,
    gravity_spread_verdict,
    soc_from_gravity,
    soc_from_rest_voltage,
    spread,
    voltage_spread_verdict,
    weakest_unit,
)
from triage.physics.limits import OutOfRange
from triage.physics.pack import cells_in

PACK, UNITS, GRAVITY = "pack voltage", "each battery", "sg"
FLAT, CHARGED = 25.0, 75.0  # percent; common practice, no source
END_OF_DISCHARGE = 1.75  # V per cell under load; from memory
FEWEST = 3  # readings of single batteries from which one can stand out
UNIT_VOLTS = (6.0, 8.0, 12.0)

Loaded = Callable[[Fact], bool]  # was it read under load or on charge?


def readings_of(facts: Iterable[Fact], held: Mapping[str, FactValue], loaded: Loaded) -> frozenset[str]:
    """Names of what the measurements of the asker's vehicle come to (`Finding.reading`); lead-acid only."""
    if held.get("battery_chemistry") == "lithium":
        return frozenset()
    measured = [f for f in facts if f.name == "measurement" and f.vehicle == 1 and f.standing.holds]
    return frozenset(name for fact in measured for name in _names(fact, held, loaded))


def _names(fact: Fact, held: Mapping[str, FactValue], loaded: Loaded) -> Iterator[str]:
    try:
        if fact.unit == GRAVITY:
            yield from _gravities(_numbers(fact.value))
        elif fact.what == UNITS and not loaded(fact):
            yield from _units(_numbers(fact.value), held.get("battery_voltage"))
        elif fact.what == PACK:
            yield from _pack(min(_numbers(fact.value)), held.get("pack_voltage"), loaded(fact))
    except OutOfRange:
        return  # no such battery: the conflicts room asks about it


def _numbers(value: FactValue) -> Sequence[float]:
    return value if isinstance(value, tuple) else (float(value),)


def _units(volts: Sequence[float], nominal: FactValue | None) -> Iterator[str]:
    if len(volts) < FEWEST:
        return
    each = float(nominal) if isinstance(nominal, int | float) else _nearest(median(volts))
    cells = cells_in(each)
    below = weakest_unit(volts)[1]
    if voltage_spread_verdict(below, cells, retested=False) is not Spread.FINE:
        yield "one_low_unit"
    elif voltage_spread_verdict(spread(volts), cells, retested=False) is Spread.FINE:
        yield "units_alike"


def _nearest(volts: float) -> float:
    return min(UNIT_VOLTS, key=lambda nominal: abs(nominal - volts))


def _pack(volts: float, nominal: FactValue | None, loaded: bool) -> Iterator[str]:
    if not isinstance(nominal, int | float):
        return
    cells = cells_in(nominal)
    if loaded:
        if volts < END_OF_DISCHARGE * cells:
            yield "pack_sags"
        return
    charge = _charge(volts, cells)
    if charge < FLAT:
        yield "pack_flat"
    elif charge >= CHARGED:
        yield "pack_charged"


def _charge(volts: float, cells: int) -> float:
    """State of charge in percent; below the table 0, above it 100."""
    try:
        return soc_from_rest_voltage(volts, cells)
    except OutOfRange:
        return 0.0 if volts < 2 * cells else 100.0


def _gravities(gravities: Sequence[float]) -> Iterator[str]:
    if len(gravities) >= FEWEST and gravity_spread_verdict(spread(gravities), retested=False) is not Spread.FINE:
        yield "gravity_uneven"
    elif soc_from_gravity(max(gravities)) < FLAT:
        yield "gravity_low"

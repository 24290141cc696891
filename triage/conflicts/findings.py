"""What a list of single batteries shows: one low against the others. A finding, not a conflict."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from statistics import median

from triage.conflicts.readings import UNITS, quiet
from triage.conflicts.told import Told, number, readings, told_of
from triage.conflicts.wording import listed
from triage.model import Fact, Finding
from triage.pack import Pack
from triage.physics.batteries import Spread, gravity_spread_verdict, spread, voltage_spread_verdict
from triage.physics.limits import OutOfRange
from triage.physics.pack import USUAL_UNITS_V, cells_in

_GRAVITY_LIMIT = "deep_cycle_faq; cart_service_manuals"
_LIVE_CELL_V = 2.1  # of a charged cell, to tell the kind of battery from its reading


def findings(facts: Iterable[Fact], pack: Pack) -> tuple[Finding, ...]:
    """What the lists of single readings show, vehicle by vehicle. Lithium and readings under load say nothing here."""
    told_facts = tuple(facts)
    vehicles = sorted({fact.vehicle for fact in told_facts})
    return tuple(found for vehicle in vehicles for found in _of(told_of(told_facts, vehicle, pack)))


def _of(told: Told) -> Iterator[Finding]:
    if told.is_lithium():
        return
    for fact in told.every("measurement"):
        values = readings(fact)
        if len(values) < 2 or not quiet(fact, told):
            continue
        if fact.what == UNITS and fact.unit == "V":
            yield from _voltages(values, told)
        elif fact.unit == "sg":
            yield from _gravities(values)


def _voltages(values: Sequence[float], told: Told) -> Iterator[Finding]:
    per_cell, cells = told.limit("unit_spread"), _cells(values, told)
    if per_cell is None or cells is None:
        return
    try:
        verdict = voltage_spread_verdict(spread(values), cells, retested=False)
    except OutOfRange:
        verdict = Spread.EQUALISE  # further apart than a whole battery
    if verdict is not Spread.FINE:
        says = f"{_apart(values, per_cell * cells)}; {per_cell * cells:.2f} V is the limit for equalising"
        yield Finding("battery_low", ("measurement",), says, told.source("unit_spread"))


def _cells(values: Sequence[float], told: Told) -> int | None:
    """Cells in one battery: of the told or inferred kind, else of the usual kind whose charged reading is nearest."""
    known = number(told.best("battery_voltage"))
    nearest = min(USUAL_UNITS_V, key=lambda volts: abs(volts / 2 * _LIVE_CELL_V - median(values)))
    try:
        cells = cells_in(known or nearest)
    except OutOfRange:
        return None
    return cells if cells <= max(USUAL_UNITS_V) / 2 else None


def _apart(values: Sequence[float], limit: float) -> str:
    """Which batteries are low and by how much, or how far all of them lie apart."""
    usual = median(values)
    low = [place for place, value in enumerate(values) if round(usual - value, 6) > limit]
    if not low:
        return f"{min(values):g} V to {max(values):g} V: the batteries lie {spread(values):.2g} V apart"
    worst = ", ".join(f"{values[place]:g} V" for place in low)
    by = listed(f"{usual - values[place]:.2g} V" for place in low)
    names = listed(str(place + 1) for place in low)
    which = f"battery {names} is" if len(low) == 1 else f"batteries {names} are"
    return f"{worst} against {usual:.3g} V: {which} {by} low"


def _gravities(values: Sequence[float]) -> Iterator[Finding]:
    try:
        verdict = gravity_spread_verdict(spread(values), retested=False)
    except OutOfRange:
        return
    if verdict is not Spread.FINE:
        says = (
            f"{min(values):.3f} against {max(values):.3f}: the readings lie {spread(values):.3f} apart; "
            "0.030 is the limit for equalising, 0.050 after a recharge means a failed cell"
        )
        yield Finding("gravity_spread", ("measurement",), says, _GRAVITY_LIMIT)

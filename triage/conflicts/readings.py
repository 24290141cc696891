"""Readings held against the batteries told, against "fully charged", and against each other."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import fsum
from statistics import fmean

from triage.conflicts.told import Told, number, readings
from triage.conflicts.wording import article, conflict, counted, plain, shown
from triage.model import Conflict, Fact
from triage.physics.batteries import rest_voltage_at_soc, soc_from_rest_voltage, soc_range_from_gravity
from triage.physics.limits import OutOfRange
from triage.physics.pack import cells_in

PACK, UNIT, UNITS = "pack voltage", "battery voltage", "each battery"
_ASK_AGAIN = (
    "If you are used to measuring on a live pack, could you take the whole pack and each battery once more, "
    "with everything switched off, or shall the workshop do it?"
)
_ARITHMETIC = "worked_out"
_NEAR = 100  # characters between "fully charged" and the reading it is about


def measured(told: Told, *what: str) -> tuple[Fact, ...]:
    """The voltages read off some things, in order; a reading told without its unit is one."""
    return tuple(f for f in told.every("measurement") if f.what in what and f.unit in ("V", "") and readings(f))


def quiet(fact: Fact, told: Told) -> bool:
    """Whether a reading was taken neither under load nor on charge, as far as was told."""
    if _means(fact.condition, "moving", told):
        return False
    return _means(fact.condition, "rested", told) or told.said("moving") is None


def _means(condition: str, clue: str, told: Told) -> bool:
    """Whether the words of a condition tell a clue of the pack."""
    phrases = (phrase for entry in told.pack.clues.values() if entry.fact == clue for phrase in entry.phrases)
    return any(phrase in condition.casefold() for phrase in phrases)


def list_against_count(told: Told) -> Iterator[Conflict]:
    """More or fewer readings of single batteries than batteries told."""
    count = told.said("battery_count")
    n = number(count)
    for fact in measured(told, UNITS):
        got = len(readings(fact))
        if count and n and got != n:
            claim = f"{counted(got, 'reading')} of {counted(n, 'battery')}"
            reason = "there should be one reading for each"
            ask = "How many batteries are there, and which of them were measured?"
            yield conflict("readings_against_count", (fact, count), claim, reason, ask, _ARITHMETIC)


def sum_against_pack(told: Told) -> Iterator[Conflict]:
    """Batteries that do not add up to what the pack reads."""
    margin = told.limit("sum_margin")
    total = next(iter(measured(told, PACK)), None)
    whole = number(total)
    units = _sum(told)
    if not (margin and total and whole and units):
        return
    facts, added, words = (*units[0], total), *units[1:]
    if abs(added - whole) <= margin * added or not all(quiet(fact, told) for fact in facts if fact.what):
        return
    claim = f"{words} with {shown(total)} across the pack"
    reason = f"in series they should add up to {added:.1f} V"
    yield conflict("readings_against_pack", facts, claim, reason, _ASK_AGAIN, told.source("sum_margin"))


def _sum(told: Told) -> tuple[tuple[Fact, ...], float, str] | None:
    """The readings of all batteries, what they add up to, and how to say it."""
    count = told.best("battery_count")
    n = number(count)
    for fact in measured(told, UNITS):
        if n is None or len(readings(fact)) == n:
            return (fact,), fsum(readings(fact)), "the readings of the single batteries"
    singles = measured(told, UNIT)
    each = [value for fact in singles for value in readings(fact)]
    if count and n and each and told.said("each_reads"):
        return (*singles, count), n * fmean(each), f"{counted(n, 'battery')} of {fmean(each):.3g} V"
    return None


def above_nominal(told: Told) -> Iterator[Conflict]:
    """A reading higher than a lead-acid battery or pack of the told voltage ever shows."""
    highest = told.limit("highest_cell")
    if highest is None or told.is_lithium():
        return
    for name, what in (("battery_voltage", (UNIT, UNITS)), ("pack_voltage", (PACK,))):
        nominal = told.best(name)
        v = number(nominal)
        for fact in measured(told, *what):
            top = max(readings(fact))
            if nominal and v and top > highest * v / 2:
                kind = "battery" if name == "battery_voltage" else "pack"
                claim = f"{plain(top)} V on {article(f'{v:g} V {kind}')}"
                reason = f"even at the end of an equalising charge it shows no more than {highest * v / 2:.3g} V"
                ask = told.ask(name)
                yield conflict(
                    f"reading_above_{kind}", (fact, nominal), claim, reason, ask, told.source("highest_cell")
                )
                return


def full_against_rest(told: Told) -> Iterator[Conflict]:
    """Said to be fully charged, and at rest so low that it was not, or that a battery has failed."""
    floor = told.limit("full_charge_floor")
    if floor is None or not _flooded(told):
        return
    for fact, nominal in _rested(told):
        full = _full_charge(told, fact)
        volts, cells = min(readings(fact)), _cells(nominal)
        if full and cells and _soc(volts, cells) < floor:
            kind = "pack" if fact.what == PACK else "battery"
            claim = f"{article(f'{cells * 2} V {kind}')} fully charged with {plain(volts)} V at rest"
            ends = (rest_voltage_at_soc(soc, cells) for soc in (100, 0))
            reason = "full shows about {:.1f} V, flat about {:.1f} V".format(*ends)
            ask = "When was it last on charge, and how long after was the reading taken?"
            about = (full, fact) if full is not fact else (fact,)
            yield conflict("full_against_rest_voltage", about, claim, reason, ask, "soc_measurement")
            return


def _flooded(told: Told) -> bool:
    """Whether the table of rest voltages holds: flooded, or an unknown kind in 6 or 8 V batteries."""
    chemistry, each = told.best("battery_chemistry"), number(told.best("battery_voltage"))
    return not told.is_lithium() and (chemistry.value == "flooded" if chemistry else each in (6, 8))


def _rested(told: Told) -> Iterator[tuple[Fact, Fact | None]]:
    """Readings taken in quiet, with the fact that tells their nominal voltage."""
    for what, name in ((PACK, "pack_voltage"), (UNIT, "battery_voltage"), (UNITS, "battery_voltage")):
        yield from ((fact, told.best(name)) for fact in measured(told, what) if quiet(fact, told))


def _full_charge(told: Told, fact: Fact) -> Fact | None:
    """What tells of a full charge: the reading's own condition, or words near it."""
    if _means(fact.condition, "charge_state", told):
        return fact
    full = told.said("charge_state")
    near = full and full.span and fact.span and abs(full.span.start - fact.span.start) <= _NEAR
    return full if near else None


def _cells(nominal: Fact | None) -> int | None:
    try:
        return cells_in(number(nominal) or 0)
    except OutOfRange:
        return None


def _soc(volts: float, cells: int) -> float:
    """State of charge in percent; 0 below the table, which is a failed cell, and 100 above it."""
    try:
        return soc_from_rest_voltage(volts, cells)
    except OutOfRange:
        return 0.0 if volts < 2 * cells else 100.0


def two_of_the_pack(told: Told) -> Iterator[Conflict]:
    """Two readings of the pack in one condition, further apart than full and flat."""
    margin = told.limit("repeat_margin")
    if told.said("moving"):
        return  # one of the two may be the reading under load
    for a, b in combinations(measured(told, PACK), 2):
        low, high = sorted((max(readings(a)), max(readings(b))))
        alike = a.condition and a.condition == b.condition and quiet(a, told)
        if margin and alike and high - low > margin * high:
            claim = f"{plain(low)} V and {plain(high)} V for the pack, both {a.condition}"
            reason = "from full to flat a rested pack moves by about 6 percent"
            yield conflict("two_pack_readings", (a, b), claim, reason, _ASK_AGAIN, told.source("repeat_margin"))
            return


def gravity_against_voltage(told: Told) -> Iterator[Conflict]:
    """A hydrometer that says full and a voltmeter that says flat, or the other way about."""
    gap = told.limit("gravity_gap")
    gravity = next((f for f in told.every("measurement") if f.unit == "sg" and readings(f)), None)
    if gap is None or gravity is None or not _flooded(told):
        return
    for fact, nominal in _rested(told):
        cells = _cells(nominal)
        low, high = _gravity_soc(gravity)
        if cells and not low - gap < (soc := _soc(max(readings(fact)), cells)) < high + gap:
            claim = f"a specific gravity of {max(readings(gravity)):.3f} with {plain(max(readings(fact)))} V at rest"
            reason = f"the hydrometer says about {(low + high) / 2:.0f} percent charged, the meter about {soc:.0f}"
            source = told.source("gravity_gap")
            yield conflict("gravity_against_voltage", (gravity, fact), claim, reason, _ASK_AGAIN, source)
            return


def _gravity_soc(fact: Fact) -> tuple[float, float]:
    try:
        return soc_range_from_gravity(max(readings(fact)))
    except OutOfRange:
        return 0.0, 100.0

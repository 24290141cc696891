"""Batteries held against each other by arithmetic: count, volts, filler caps, and petrol with a traction pack."""

from __future__ import annotations

from collections.abc import Iterator

from triage.conflicts.told import Told, number
from triage.conflicts.wording import article, conflict, counted, listed, once_more, shown
from triage.model import Conflict, Fact
from triage.physics.limits import OutOfRange
from triage.physics.pack import Layout, layouts_for, unit_voltage_from_caps

_ARITHMETIC = "worked_out"
_PRACTICE = "common practice, no source"
_COUNT_CAPS = (
    "Could you count the batteries and, without touching them, the filler caps on one: 3 is 6 V, 4 is 8 V, 6 is 12 V?"
)
_STRINGS = (1, 2, 3)  # equal strings side by side
_TRACTION_V = 24  # the least that drives a vehicle; a petrol one starts on 12 V
_FEW, _HIGH_PACK_V = 2, 36  # no lead battery for a vehicle is made above 12 V


def layout(told: Told) -> Iterator[Conflict]:
    """Count times volts against the pack: not equal, nor equal with two or three strings side by side."""
    count, each, total = (told.said(name) for name in ("battery_count", "battery_voltage", "pack_voltage"))
    n, v, pack = number(count), number(each), number(total)
    if not (count and each and total and n and v and pack) or told.is_lithium() or n * v == pack:
        return
    strings = next((k for k in _STRINGS if n * v == pack * k), 0)
    reason = f"in series they make {n * v:g} V"
    if strings:
        reason += f", and {pack:g} V only as {strings} strings side by side"
    claim = f"{counted(n, 'battery')} of {v:g} V in a {pack:g} V pack"
    yield conflict(
        "voltage_against_batteries", (total, count, each), claim, reason, _COUNT_CAPS, _ARITHMETIC, sure=not strings
    )


def count_alone(told: Told) -> Iterator[Conflict]:
    """A count that makes the told pack with no usual battery, or with none at all."""
    count, total = told.said("battery_count"), told.said("pack_voltage")
    n, pack = number(count), number(total)
    if not (count and total and n and pack) or told.said("battery_voltage") or n < _FEW or told.is_lithium():
        return
    if n == _FEW:
        yield from _too_few(count, total, bool(told.best("battery_chemistry")))
    elif (ways := _layouts(pack)) and n not in {k * way.count for k in _STRINGS for way in ways}:
        claim = f"{counted(n, 'battery')} in a {pack:g} V pack"
        reason = f"{pack:g} V takes {listed((f'{way.count} of {way.unit_v:g} V' for way in ways), 'or')}"
        yield conflict("voltage_against_count", (total, count), claim, reason, _COUNT_CAPS, _ARITHMETIC)


def _too_few(count: Fact, total: Fact, chemistry_known: bool) -> Iterator[Conflict]:
    if chemistry_known and (number(total) or 0) >= _HIGH_PACK_V:
        yield conflict(
            "too_few_batteries",
            (count, total),
            f"{shown(count)} lead batteries in a {shown(total)} pack",
            f"they would have to be of {(number(total) or 0) / _FEW:g} V each, and none is made above 12 V for this",
            "How many batteries are there in all?",
            _PRACTICE,
        )


def unit_alone(told: Told) -> Iterator[Conflict]:
    """Batteries of which no whole number makes the told pack: 8 V ones for 36 V."""
    each, total = told.said("battery_voltage"), told.said("pack_voltage")
    v, pack = number(each), number(total)
    if each and total and v and pack and not told.said("battery_count") and not told.is_lithium() and pack % v:
        claim = f"{v:g} V batteries in a {pack:g} V pack"
        reason = f"no whole number of them makes {pack:g} V"
        yield conflict("voltage_against_unit", (total, each), claim, reason, _COUNT_CAPS, _ARITHMETIC)


def _layouts(pack_v: float) -> tuple[Layout, ...]:
    try:
        return layouts_for(pack_v)
    except OutOfRange:
        return ()


def caps(told: Told) -> Iterator[Conflict]:
    """Filler caps on one battery against its voltage: one cap for each cell of 2 V."""
    told_caps, each = told.said("caps"), told.best("battery_voltage")
    by_caps, v = _voltage_of(told_caps), number(each)
    if told_caps and each and by_caps and v and by_caps != v:
        claim = f"{shown(told_caps)} filler caps on {article(f'{v:g} V battery')}"
        reason = f"there is one cap for each cell of 2 V, so {shown(told_caps)} caps are {by_caps:g} V"
        about = [told_caps, each, *(fact for name in ("pack_voltage", "battery_count") if (fact := told.said(name)))]
        yield conflict("caps_against_voltage", about, claim, reason, _COUNT_CAPS, _ARITHMETIC)


def _voltage_of(fact: Fact | None) -> float | None:
    try:
        return unit_voltage_from_caps(int(number(fact) or 0))
    except OutOfRange:
        return None


def sealed_with_caps(told: Told) -> Iterator[Conflict]:
    """Batteries said to be sealed that have caps to take off."""
    sealed, told_caps = told.said("sealed"), told.said("caps")
    if sealed and told_caps:
        claim = "sealed batteries with filler caps"
        reason = "batteries with caps to fill through are the kind you top up with water"
        yield conflict(
            "sealed_with_caps", (sealed, told_caps), claim, reason, once_more(told.ask("battery_chemistry")), _PRACTICE
        )


def petrol_with_pack(told: Told) -> Iterator[Conflict]:
    """A traction pack or its charger told of a petrol vehicle."""
    power = told.said("powertrain")
    if power is None or power.value != "petrol" or "powertrain" in told.excused:
        return
    petrol_only = bool(told.family) and all(vehicle.powertrain == "petrol" for vehicle in told.family)
    for name in ("charger_voltage",) if petrol_only else ("pack_voltage", "charger_voltage"):  # see against_model
        fact = told.said(name)
        if fact and (number(fact) or 0) >= _TRACTION_V:
            claim = f"{article(shown(fact))} {'pack' if name == 'pack_voltage' else 'charger'} on a petrol vehicle"
            reason = "a petrol one has a single 12 V battery, so this points to an electric one"
            ask = once_more(told.ask("powertrain"))
            yield conflict("petrol_with_pack", (power, fact), claim, reason, ask, _PRACTICE)
            return

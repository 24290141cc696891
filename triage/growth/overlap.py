"""Which vehicles two answers, or two sentences, are both for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from triage.model import FactValue
from triage.pack import applies
from triage.pack.schema import AppliesTo, Vehicle

Scope = Mapping[str, tuple[FactValue, ...]]


def shared(one: AppliesTo, other: AppliesTo, vehicles: Iterable[Vehicle]) -> tuple[Vehicle, ...]:
    """The vehicles of the catalogue that both ranges hold."""
    return tuple(vehicle for vehicle in vehicles if applies(one, vehicle) and applies(other, vehicle))


def may_meet(one: AppliesTo, other: AppliesTo) -> bool:
    """Some vehicle, in the catalogue or not, may be in both ranges: what a range does not limit is left open."""
    lists = ("makes", "models", "voltages", "chemistries", "controllers")
    return (
        (None in (one.powertrain, other.powertrain) or one.powertrain == other.powertrain)
        and all(_lists_meet(getattr(one, key), getattr(other, key)) for key in lists)
        and _years_meet(one, other)
    )


def share_of(one: AppliesTo, other: AppliesTo, vehicles: Sequence[Vehicle]) -> float:
    """Share of the first range's vehicles that the second holds too, 0..1; where it holds none of the catalogue's, 1
    when the two may meet at all."""
    mine = [vehicle for vehicle in vehicles if applies(one, vehicle)]
    if not mine:
        return float(may_meet(one, other))
    return len(shared(one, other, mine)) / len(mine) if may_meet(one, other) else 0.0


def scopes_meet(one: Scope, other: Scope) -> bool:
    """No fact that both sentences are limited by keeps them apart."""
    return all(_values_meet(values, other[name]) for name, values in one.items() if name in other)


def _values_meet(one: tuple[FactValue, ...], other: tuple[FactValue, ...]) -> bool:
    return not {_folded(value) for value in one}.isdisjoint(_folded(value) for value in other)


def _lists_meet(one: Sequence[FactValue], other: Sequence[FactValue]) -> bool:
    return not one or not other or _values_meet(tuple(one), tuple(other))


def _folded(value: FactValue) -> FactValue:
    return value.casefold() if isinstance(value, str) else value


def _years_meet(one: AppliesTo, other: AppliesTo) -> bool:
    first = max(one.year_from or 0, other.year_from or 0)
    return first <= min(one.year_to or 9999, other.year_to or 9999)

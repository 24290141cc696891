"""What holds of a vehicle, and which entries of the catalogue agree with it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from triage.model import Fact, FactValue, Standing
from triage.pack import Pack
from triage.pack.schema import Vehicle


@dataclass(frozen=True, slots=True)
class Known:
    """What holds of one vehicle: fact name -> fact."""

    facts: dict[str, Fact]

    def value(self, name: str) -> FactValue | None:
        """The value, or None when nothing holds."""
        fact = self.facts.get(name)
        return fact.value if fact else None

    def number(self, name: str) -> float | None:
        """The value as a number, or None."""
        value = self.value(name)
        return float(value) if isinstance(value, int | float) else None


def holding(facts: Iterable[Fact], vehicle: int = 1) -> Known:
    """The facts that hold of a vehicle; said outright beats inferred, and a firm word beats a hedged one."""
    order = {Standing.CORRECTED: 0, Standing.STATED: 1, Standing.HEDGED: 2, Standing.INFERRED: 3}
    best: dict[str, Fact] = {}
    for fact in facts:
        if fact.vehicle != vehicle or not fact.standing.holds:
            continue
        known = best.get(fact.name)
        if (
            known is None
            or _makes_exact(fact, known)
            or (order[fact.standing] < order[known.standing] and not _makes_exact(known, fact))
        ):
            best[fact.name] = fact
    return Known(best)


def _makes_exact(fact: Fact, other: Fact) -> bool:
    """The exact model, inferred from a plain name and the powertrain, is the better of the two."""
    exact = fact.name == "model" and fact.standing is Standing.INFERRED
    return exact and str(fact.value).startswith(f"{other.value} ")


def years_of(value: FactValue | None) -> tuple[int, int] | None:
    """First and last year of a year fact: 2009, or the range "2005-2006".

    >>> years_of(2009), years_of("1996-1999")
    ((2009, 2009), (1996, 1999))
    """
    if isinstance(value, int):
        return value, value
    if isinstance(value, str) and "-" in value:
        low, _, high = value.partition("-")
        return int(low), int(high)
    return None


def candidates(known: Known, pack: Pack) -> list[Vehicle]:
    """Catalogue entries that agree with what holds; empty when neither make nor model is told or none agrees."""
    make, model = known.value("make"), known.value("model")
    if make is None and model is None:
        return []
    named = [v for v in pack.vehicles if _named(v, make, model)] or [
        v for v in pack.vehicles if _named(v, make, None) and model is not None and begins(v.model, model)
    ]
    by_serial = [v for v in named if _has_serial(v, known)]
    return [v for v in by_serial or named if agrees(v, known)]


def _has_serial(vehicle: Vehicle, known: Known) -> bool:
    """The serial number told is one of the vehicle's."""
    serial = known.value("serial")
    return (
        serial is not None and bool(vehicle.serial_pattern) and bool(re.fullmatch(vehicle.serial_pattern, str(serial)))
    )


def _named(vehicle: Vehicle, make: FactValue | None, model: FactValue | None) -> bool:
    return (make is None or same_name(vehicle.make, make)) and (model is None or same_name(vehicle.model, model))


def same_name(a: str, b: FactValue) -> bool:
    """The same name, whatever its capitals."""
    return a.casefold() == str(b).casefold()


def begins(model: str, name: FactValue) -> bool:
    """The name is the model's without its last words: "NAME" of a "NAME 48"."""
    return model.casefold().startswith(f"{name} ".casefold())


def agrees(vehicle: Vehicle, known: Known, *, sure: bool = False) -> bool:
    """False when something told speaks against the vehicle; with `sure` also what words imply."""
    years = years_of(known.value("year"))
    if years and not (years[0] <= (vehicle.year_to or 9999) and years[1] >= (vehicle.year_from or 0)):
        return False
    for name in ("powertrain", "pack_voltage", "battery_chemistry", "battery_count", "battery_voltage"):
        told, listed = known.facts.get(name), vehicle_value(vehicle, name)
        weak = told is not None and told.standing is Standing.INFERRED and not sure
        if told and listed is not None and told.value != listed and not weak:
            return False
    return True


def vehicle_value(vehicle: Vehicle, name: str) -> FactValue | None:
    """What the catalogue says of a vehicle under a fact's name; None where it says nothing."""
    if name in ("battery_count", "battery_voltage"):
        if not vehicle.batteries:
            return None
        count, _, each = vehicle.batteries.partition("x")
        return int(count) if name == "battery_count" else whole(float(each))
    if name == "battery_chemistry" and vehicle.battery_chemistry is None and (vehicle.batteries or "").startswith("1x"):
        return "lithium"  # one block of pack voltage is never lead
    value = getattr(vehicle, name, None) or None
    return whole(value) if isinstance(value, float) else value


def whole(value: float) -> int | float:
    """A whole number as int."""
    return int(value) if value.is_integer() else value

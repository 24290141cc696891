"""Fuller names of a labelled model: what the catalogue calls the vehicle that the labelled facts tell of together."""

from __future__ import annotations

from eval.labels import Labelled
from eval.values import plain
from triage.pack import Pack
from triage.pack.schema import Vehicle

Held = dict[str, str | int | float]


def fuller_models(label: Labelled, pack: Pack) -> frozenset[str]:
    """Models that may stand for the labelled one: "Lark ... lithium" is the "Lark Li" as well.

    A longer name counts only when a labelled fact speaks for it against its namesakes and none against it.
    """
    held: Held = {fact.name: fact.value for fact in label.facts if fact.standing.holds}
    names: set[str] = set()
    for model in (str(fact.value) for fact in label.facts if fact.name == "model" and fact.standing.holds):
        namesakes = [vehicle for vehicle in pack.vehicles if is_called(vehicle.model, model)]
        agreeing = [vehicle for vehicle in namesakes if _agrees(vehicle, held)]
        if len(agreeing) < len(namesakes):
            names |= {vehicle.model for vehicle in agreeing}
    return frozenset(names)


def is_called(full: str, short: str) -> bool:
    """True when one name begins with the whole of the other: "Ridge P" with "Ridge"."""
    return f"{plain(full)} ".startswith(f"{plain(short)} ")


def _agrees(vehicle: Vehicle, held: Held) -> bool:
    listed = (
        ("powertrain", vehicle.powertrain), ("pack_voltage", vehicle.pack_voltage),
        ("battery_chemistry", vehicle.battery_chemistry),
    )  # fmt: skip
    same = (name not in held or (value is not None and plain(held[name]) == plain(value)) for name, value in listed)
    return all(same) and _made_then(vehicle, held.get("year"))


def _made_then(vehicle: Vehicle, year: str | int | float | None) -> bool:
    if year is None:
        return True
    years = [value for value in plain(year) if isinstance(value, float)]
    return bool(years) and years[0] <= (vehicle.year_to or 9999) and years[-1] >= (vehicle.year_from or 0)

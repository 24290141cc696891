"""What kind of vehicle a question is about, by its label and the shop's catalogue alone."""

from __future__ import annotations

from collections.abc import Sequence

from eval.catalogue import is_called
from eval.labels import Labelled
from eval.values import plain
from triage.pack.schema import Vehicle

ELECTRIC, PETROL, UNTOLD = "electric", "petrol", "not told"
LISTED, UNLISTED, UNNAMED = "listed name", "unlisted name", "no name"


def drive_of(label: Labelled, vehicles: Sequence[Vehicle]) -> str:
    """Electric or petrol, where the label says so or every listed vehicle of that name has it."""
    told = {str(fact.value) for fact in label.facts if fact.name == "powertrain" and fact.standing.holds}
    drives = told or {vehicle.powertrain for vehicle in _named(label, vehicles)}
    return str(next(iter(drives))) if len(drives) == 1 else UNTOLD


def name_of(label: Labelled, vehicles: Sequence[Vehicle]) -> str:
    """Is the asker's vehicle named, and does the catalogue know the name?"""
    if not _names(label):
        return UNNAMED
    return LISTED if _named(label, vehicles) else UNLISTED


def _names(label: Labelled) -> list[tuple[str, str]]:
    return [(f.name, str(f.value)) for f in label.facts if f.name in ("make", "model") and f.standing.holds]


def _named(label: Labelled, vehicles: Sequence[Vehicle]) -> list[Vehicle]:
    """Vehicles that agree with every name told; none when no name is."""
    names = _names(label)
    return [v for v in vehicles if names and all(_is(v, kind, name) for kind, name in names)]


def _is(vehicle: Vehicle, kind: str, name: str) -> bool:
    if kind == "make":
        return plain(vehicle.make) == plain(name)
    return is_called(vehicle.model, name) or any(is_called(alias, name) for alias in vehicle.aliases)

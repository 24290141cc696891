"""Hold the facts of each vehicle against the catalogue, against each other and against physics."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from triage.conflicts import batteries, catalogue, charging, drive, readings, running_gear
from triage.conflicts.clues import with_clues
from triage.conflicts.told import Told, told_of
from triage.language import Document
from triage.model import Conflict, Fact
from triage.pack import Pack

_RULES: tuple[Callable[[Told], Iterator[Conflict]], ...] = (
    catalogue.against_make,
    catalogue.against_model,
    catalogue.original_layout,
    batteries.petrol_with_pack,
    batteries.layout,
    batteries.count_alone,
    batteries.unit_alone,
    batteries.caps,
    batteries.sealed_with_caps,
    charging.voltage,
    charging.chemistry,
    readings.list_against_count,
    readings.sum_against_pack,
    readings.above_nominal,
    readings.full_against_rest,
    readings.gravity_against_voltage,
    readings.two_of_the_pack,
    drive.speed,
    drive.current,
    running_gear.clearance,
    running_gear.rim,
    running_gear.stud,
    running_gear.spacer,
)


def find_conflicts(facts: Iterable[Fact], pack: Pack, document: Document | None = None) -> tuple[Conflict, ...]:
    """Conflicts among what holds of each vehicle, in a fixed order; one vehicle is never held against another.

    `facts` are all facts of the question, whatever their standing: those that do not hold are left out here. With
    the `document` they were read from, small clues of the text (filler caps, the kind of charger) count as well.
    """
    everything = tuple(facts) if document is None else with_clues(tuple(facts), document, pack)
    vehicles = sorted({fact.vehicle for fact in everything})
    held = [told_of(everything, vehicle, pack) for vehicle in vehicles]
    return tuple(dict.fromkeys(conflict for told in held for rule in _RULES for conflict in rule(told)))

"""What the question already told that a worksheet asks for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from triage.bench.views.wording import plain
from triage.model import Fact, Standing
from triage.store import Thread

# By input of a worksheet: the fact that means the same, in the same unit.
_FACTS: Mapping[str, str] = {
    "pack": "pack_voltage",
    "volts_old": "pack_voltage",
    "unit": "battery_voltage",
    "count": "battery_count",
    "chemistry": "battery_chemistry",
    "code": "tyre_size",
}


@dataclass(frozen=True, slots=True)
class Known:
    """A value as it would be typed, and where it comes from."""

    text: str
    origin: str


def known_values(thread: Thread) -> dict[str, Known]:
    """By input, what is known of the asker's first vehicle; what is only planned where nothing else is."""
    facts = {fact.name: fact for fact in sorted(_facts(thread), key=lambda fact: fact.standing.holds)}
    return {name: _known(facts[fact]) for name, fact in _FACTS.items() if fact in facts}


def _facts(thread: Thread) -> list[Fact]:
    read = (fact for saved in thread.readings for fact in saved.reading.facts)
    return [fact for fact in read if fact.vehicle == 1 and (fact.standing.holds or fact.standing is Standing.PLANNED)]


def _known(fact: Fact) -> Known:
    origin = "from the question" if fact.standing.holds else "from the question, where it is planned"
    return Known(f"{plain(fact.value)} {fact.unit}".strip(), origin)

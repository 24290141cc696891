"""What is known of the vehicle and its trouble, with where each came from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from triage.bench.views.wording import STANDING, label, value_words
from triage.bench.views.words import fact_query
from triage.model import Fact, Reading, Standing
from triage.pack import Pack

_APART = frozenset({Standing.DENIED, Standing.PLANNED, Standing.PAST, Standing.OTHER})


@dataclass(frozen=True, slots=True)
class Known:
    """One fact as a line."""

    label: str
    says: str
    standing: str
    word: str
    basis: str
    query: str
    by_person: bool  # set by a person: can be taken back
    odd: bool  # does not fit together with another
    vehicle: int


@dataclass(frozen=True, slots=True)
class KnownGroup:
    """Facts of one kind of standing."""

    title: str
    facts: tuple[Known, ...]


def known_facts(readings: Sequence[Reading], pack: Pack) -> tuple[KnownGroup, ...]:
    """Told, worked out, and what does not hold; of several questions each fact once."""
    facts = list(_each_once(readings))
    odd = {name for reading in readings for conflict in reading.conflicts for name in conflict.facts}
    lines = [(fact, _line(fact, odd, pack)) for fact in facts]
    told = tuple(line for fact, line in lines if fact.standing.holds and fact.standing is not Standing.INFERRED)
    inferred = tuple(line for fact, line in lines if fact.standing is Standing.INFERRED)
    apart = tuple(line for fact, line in lines if fact.standing in _APART)
    groups = (KnownGroup("Told", told), KnownGroup("Worked out", inferred), KnownGroup("Not so, or not now", apart))
    return tuple(group for group in groups if group.facts)


def _each_once(readings: Iterable[Reading]) -> Iterator[Fact]:
    seen: set[tuple[object, ...]] = set()
    for reading in readings:
        for fact in reading.facts:
            key = (fact.name, fact.value, fact.vehicle, fact.standing, fact.what, fact.condition)
            if key not in seen:
                seen.add(key)
                yield fact


def _line(fact: Fact, odd: set[str], pack: Pack) -> Known:
    by_person = fact.span is None and fact.basis.startswith("set by ")
    return Known(
        label(pack.facts, fact.name),
        value_words(fact, pack),
        fact.standing.value,
        STANDING[fact.standing],
        ("said earlier: " if fact.message else "") + fact.basis.removeprefix("words: "),
        fact_query(fact),
        by_person,
        fact.name in odd and fact.standing.holds,
        fact.vehicle,
    )

"""From candidates to facts: vehicles told apart, corrections applied, repeats joined."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from triage.facts.candidate import Candidate
from triage.facts.standing import standing_of
from triage.language import Document
from triage.language.scopes import Cue
from triage.model import Fact, Standing

SINGLE = frozenset(
    (
        "make model year powertrain pack_voltage battery_count battery_voltage battery_chemistry controller "
        "controller_current motor tyre_size wheel_diameter lift spacer top_speed charger_voltage battery_age"
    ).split()
)
_STRENGTH = {
    Standing.CORRECTED: 0,
    Standing.STATED: 1,
    Standing.DENIED: 2,
    Standing.HEDGED: 3,
    Standing.INFERRED: 4,
    Standing.PLANNED: 5,
    Standing.PAST: 6,
    Standing.OTHER: 7,
}


def to_facts(candidates: Iterable[Candidate], document: Document) -> tuple[Fact, ...]:
    """Facts in order of their evidence; each fact of one vehicle and value once."""
    ordered = sorted(candidates, key=lambda c: (c.first, c.last, c.name))
    vehicles = _vehicles(ordered, document)
    facts = [_fact(candidate, document, vehicles[index]) for index, candidate in enumerate(ordered)]
    return tuple(_joined(_corrected(facts, ordered, document)))


def _fact(candidate: Candidate, document: Document, vehicle: int) -> Fact:
    return Fact(
        candidate.name,
        candidate.value,
        candidate.unit,
        standing_of(candidate, document),
        document.span(candidate.first, candidate.last),
        candidate.basis,
        vehicle,
        candidate.what,
        candidate.condition,
    )


def _vehicles(ordered: Sequence[Candidate], document: Document) -> list[int]:
    """Vehicle number per candidate: a cue for a second vehicle starts it; naming the first one goes back."""
    cues = [cue for cue in document.scopes.cues("second_vehicle") if _introduces(cue, ordered, document)]
    result: list[int] = []
    current = 1
    told: dict[int, dict[str, object]] = {1: {}, 2: {}}
    for candidate in ordered:
        started = any(cue.first <= candidate.first for cue in cues)
        current = _vehicle_of(candidate, current, started, told)
        if candidate.name in ("make", "model", "powertrain", "year"):
            told[current].setdefault(candidate.name, candidate.value)
        result.append(current)
    return result


def _introduces(cue: Cue, ordered: Sequence[Candidate], document: Document) -> bool:
    """A cue counts only when its sentence goes on to name a vehicle: "the other one" alone may be a cable."""
    sentence = document.tokens[cue.first].sentence
    return any(
        candidate.name in _NAMING
        and candidate.first >= cue.first
        and document.tokens[candidate.first].sentence == sentence
        for candidate in ordered
    )


_NAMING = frozenset({"make", "model", "powertrain", "year"})


def _vehicle_of(candidate: Candidate, current: int, started: bool, told: dict[int, dict[str, object]]) -> int:
    if not started:
        return 1
    for vehicle in (1, 2):
        if told[vehicle].get(candidate.name) == candidate.value and candidate.name in (
            "make",
            "model",
            "powertrain",
        ):
            return vehicle
    return 2 if current == 1 and not told[2] else current


def _corrected(facts: Sequence[Fact], ordered: Sequence[Candidate], document: Document) -> list[Fact]:
    """Where two values of one closed fact meet a correction, the later holds and the earlier is denied."""
    result = list(facts)
    for later in range(len(result)):
        for earlier in range(later):
            if _is_correction(result[earlier], result[later], ordered[earlier], ordered[later], document):
                kept, dropped = _direction(result, earlier, later, ordered, document)
                result[kept] = replace(result[kept], standing=Standing.CORRECTED)
                result[dropped] = replace(result[dropped], standing=Standing.DENIED)
    return result


def _is_correction(a: Fact, b: Fact, first: Candidate, second: Candidate, document: Document) -> bool:
    same = a.name == b.name and a.name in SINGLE and a.vehicle == b.vehicle and a.value != b.value
    if not same or Standing.OTHER in (a.standing, b.standing):
        return False
    contrast = document.scopes.contrast(second.first, second.last) and second.first - first.last <= 3
    return contrast or document.scopes.corrected(second.first)


def _direction(
    facts: Sequence[Fact], earlier: int, later: int, ordered: Sequence[Candidate], document: Document
) -> tuple[int, int]:
    """(kept, dropped): "48 not 36" keeps the earlier; else the later one corrects."""
    if document.scopes.contrast(ordered[later].first, ordered[later].last):
        return earlier, later
    return later, earlier


def _joined(facts: Iterable[Fact]) -> list[Fact]:
    """One fact per name, value, vehicle and unit; the strongest standing and first evidence are kept."""
    joined: dict[tuple[object, ...], Fact] = {}
    for fact in facts:
        key = (
            fact.name,
            fact.value,
            fact.vehicle,
            fact.what,
            fact.condition if fact.name == "measurement" else "",
            _world(fact),
        )
        known = joined.get(key)
        joined[key] = _stronger(known, fact) if known else fact
    return list(joined.values())


def _world(fact: Fact) -> str:
    """Plans and other people's vehicles stay apart from what holds."""
    return fact.standing.value if fact.standing in (Standing.OTHER, Standing.PLANNED, Standing.PAST) else ""


def _stronger(known: Fact, fact: Fact) -> Fact:
    spans = tuple(span for span in (*known.mentions, fact.span) if span)
    best = min(known, fact, key=lambda item: _STRENGTH[item.standing])
    return replace(known, standing=best.standing, basis=best.basis, mentions=spans)


def with_known(facts: Sequence[Fact], known: Iterable[Fact]) -> tuple[Fact, ...]:
    """Add what is known from elsewhere.

    A fact set by a person (it has no words) takes the place of what was read. A fact of an earlier message gives way to
    a later different value, which then counts as the asker's correction. A fact of another question of the same message
    (it names no message) is only taken where this one says nothing.
    """
    result = list(facts)
    for old in known:
        if old.name == "intent" and old.span is not None:
            continue
        if old.span is None:
            result = [fact for fact in result if (fact.name, fact.vehicle) != (old.name, old.vehicle)] + [old]
        elif not _already(result, old):
            _add_earlier(result, old)
    return tuple(result)


def _add_earlier(result: list[Fact], old: Fact) -> None:
    new = next((fact for fact in result if _contradicts(fact, old)), None)
    if new is None:
        result.append(old)
    elif new.standing is Standing.INFERRED:
        result[result.index(new)] = old
    elif new.span is not None and old.message:
        result[result.index(new)] = replace(new, standing=Standing.CORRECTED)
        result.append(replace(old, standing=Standing.DENIED))


def _contradicts(new: Fact, old: Fact) -> bool:
    """Another value of the same closed fact of the same vehicle, both holding."""
    same = (new.name, new.vehicle) == (old.name, old.vehicle) and new.name in SINGLE
    return same and new.value != old.value and new.standing.holds and old.standing.holds


def _already(facts: Sequence[Fact], old: Fact) -> bool:
    return any((f.name, f.value, f.vehicle, f.what) == (old.name, old.value, old.vehicle, old.what) for f in facts)

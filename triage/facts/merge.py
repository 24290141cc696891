"""From candidates to facts: standings and corrections applied, repeats joined, earlier messages added."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from triage.facts.candidate import Candidate
from triage.facts.corrections import SINGLE, corrected
from triage.facts.standing import standing_of
from triage.facts.vehicles import vehicle_numbers
from triage.language import Document
from triage.model import Fact, Standing

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
    vehicles = vehicle_numbers(ordered, document)
    facts = [_fact(candidate, document, vehicles[index]) for index, candidate in enumerate(ordered)]
    facts = list(_untroubled(facts, ordered, document))
    return tuple(_joined(corrected(facts, ordered, document)))


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


def _untroubled(facts: Sequence[Fact], ordered: Sequence[Candidate], document: Document) -> Iterator[Fact]:
    """Of two own vehicles, the one that "is fine" is not the one asked about."""
    fine = [cue.first for cue in document.scopes.cues("no_trouble")]
    both = {fact.vehicle for fact in facts} == {1, 2}
    well = {
        fact.vehicle
        for fact, candidate in zip(facts, ordered, strict=True)
        if both and candidate.name == "model" and _says_fine(document, candidate, fine)
    }
    for fact in facts:
        aside = fact.vehicle in well and len(well) == 1 and fact.name in SINGLE
        yield replace(fact, standing=Standing.OTHER) if aside else fact


def _says_fine(document: Document, candidate: Candidate, fine: Sequence[int]) -> bool:
    near = fine[bisect_left(fine, candidate.last) : bisect_right(fine, candidate.last + 3)]
    return any(document.same_sentence(cue, candidate.first) for cue in near)


def _joined(facts: Iterable[Fact]) -> list[Fact]:
    """One fact per name, value, vehicle and unit; the strongest standing with its evidence is kept."""
    groups: dict[tuple[object, ...], list[Fact]] = {}
    for fact in facts:
        condition = fact.condition if fact.name == "measurement" else ""
        key = (fact.name, fact.value, fact.vehicle, fact.what, condition, _world(fact))
        groups.setdefault(key, []).append(fact)
    return [_strongest(group) for group in groups.values()]


def _world(fact: Fact) -> str:
    """Plans and other people's vehicles stay apart from what holds."""
    return fact.standing.value if fact.standing in (Standing.OTHER, Standing.PLANNED, Standing.PAST) else ""


def _strongest(group: Sequence[Fact]) -> Fact:
    if len(group) == 1:
        return group[0]
    best = min(group, key=lambda fact: _STRENGTH[fact.standing])
    spans = tuple(fact.span for fact in group if fact.span)
    return replace(group[0], standing=best.standing, basis=best.basis, span=best.span, mentions=spans)


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
        elif old.standing.holds and old.message:
            _taken_back(result, old)
    return tuple(result)


def _taken_back(result: list[Fact], old: Fact) -> None:
    """What an earlier message said is denied in this one: the value named in its place is the asker's correction."""
    denied = any(
        (f.name, f.value, f.vehicle) == (old.name, old.value, old.vehicle) and not f.standing.holds for f in result
    )
    for index, fact in enumerate(result):
        if denied and _contradicts(fact, old) and fact.standing in (Standing.STATED, Standing.HEDGED):
            result[index] = replace(fact, standing=Standing.CORRECTED)


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

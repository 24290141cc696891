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

_NAMING = frozenset({"make", "model", "powertrain", "pack_voltage"})
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
    facts = list(_only_of_family(facts, ordered, document))
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
    set_aside = _set_aside(ordered, document)
    for fact, candidate in zip(facts, ordered, strict=True):
        aside = (fact.vehicle in well and len(well) == 1) or document.tokens[candidate.first].sentence in set_aside
        yield replace(fact, standing=Standing.OTHER) if aside and fact.name in SINGLE else fact


def _set_aside(ordered: Sequence[Candidate], document: Document) -> frozenset[int]:
    """Sentences about a vehicle with no trouble, where another sentence tells of another one."""
    kinds: dict[int, set[tuple[str, object]]] = {}
    for candidate in ordered:
        if candidate.name in ("model", "powertrain"):
            kinds.setdefault(document.tokens[candidate.first].sentence, set()).add((candidate.name, candidate.value))
    fine = {document.tokens[cue.first].sentence for cue in document.scopes.cues("never_mind")} & set(kinds)
    rest = {kind for sentence, told in kinds.items() if sentence not in fine for kind in told}
    return frozenset(sentence for sentence in fine if rest and not kinds[sentence] & rest)


def _only_of_family(facts: Sequence[Fact], ordered: Sequence[Candidate], document: Document) -> Iterator[Fact]:
    """ "My father-in-law's NAME will not start": with no vehicle of the asker's told, theirs is the one asked about."""
    family = {index for cue in document.scopes.cues("family") for index in range(cue.first, cue.last)}
    named = [fact for fact in facts if fact.name in _NAMING]
    alone = bool(family and named) and all(fact.standing is Standing.OTHER for fact in named)
    theirs = alone and not document.scopes.cues("mine")
    for fact, candidate in zip(facts, ordered, strict=True):
        kin = theirs and fact.standing is Standing.OTHER and document.scopes.other_at(candidate.first) in family
        yield replace(fact, standing=standing_of(candidate, document, of_other=False)) if kin else fact


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
    known = list(known)
    by_person = {(old.name, old.vehicle) for old in known if old.span is None}
    result = [fact for fact in facts if (fact.name, fact.vehicle) not in by_person]
    for old in known:
        if old.span is None:
            result.append(old)
        elif (old.name, old.vehicle) in by_person or old.name == "intent":
            continue
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

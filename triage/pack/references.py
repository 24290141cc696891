"""Names that point at records which are not there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import chain
from typing import Any

from triage.pack.assemble import Assembly
from triage.pack.problem import Problem, suggest
from triage.pack.records import (
    ANSWERS,
    CAUSES,
    CAUSES_SEEN,
    CHECKS,
    EVIDENCE,
    FACTS,
    HAZARDS,
    SEGMENT,
    SOURCES,
    SYMPTOMS,
    SYMPTOMS_TOLD,
    TOLD,
    Entry,
    Kind,
)

Path = tuple[str | int, ...]
Reference = tuple[Path, str]  # where the name stands within its record, and the name


def _listed(key: str) -> Callable[[Any], Iterable[Reference]]:
    return lambda record: (((key, index), name) for index, name in enumerate(getattr(record, key)))


def _keys(key: str) -> Callable[[Any], Iterable[Reference]]:
    return lambda record: (((key, name), name) for name in getattr(record, key))


def _outcome_causes(check: Any) -> Iterator[Reference]:
    for index, outcome in enumerate(check.outcomes):
        if outcome.cause:
            yield ("outcomes", index, "cause"), outcome.cause


def _finding_fact(finding: Any) -> Iterator[Reference]:
    if finding.fact:
        yield ("fact",), finding.fact


def _hazard_facts(hazard: Any) -> Iterator[Reference]:
    for index, condition in enumerate(hazard.facts):
        yield from ((("facts", index, name), name) for name in condition)


_RULES: tuple[tuple[Kind, Kind, Callable[[Any], Iterable[Reference]]], ...] = (
    (ANSWERS, FACTS, _listed("needs")),
    (ANSWERS, HAZARDS, _listed("hazards")),
    (ANSWERS, SYMPTOMS, _listed("symptoms")),
    (ANSWERS, CAUSES, _listed("causes")),
    (ANSWERS, CHECKS, _listed("checks")),
    (FACTS, SYMPTOMS, _listed("follows")),
    (CAUSES_SEEN, CAUSES, lambda record: [(("id",), record.id)]),
    (TOLD, HAZARDS, lambda record: ((("id",), record.id),) if record.sentences else ()),
    (SYMPTOMS_TOLD, SYMPTOMS, lambda record: ((("id",), record.id),) if record.sentences else ()),
    (SYMPTOMS, SYMPTOMS, _listed("also")),
    (SYMPTOMS, FACTS, _keys("when")),
    (CAUSES, SYMPTOMS, _keys("symptoms")),
    (CAUSES, FACTS, _keys("when")),
    (EVIDENCE, CAUSES, _keys("ratios")),
    (EVIDENCE, SYMPTOMS, _listed("unless")),
    (EVIDENCE, FACTS, _finding_fact),
    (CHECKS, CAUSES, _listed("causes")),
    (CHECKS, CAUSES, _outcome_causes),
    (CHECKS, FACTS, _keys("when")),
    (CHECKS, HAZARDS, _listed("hazards")),
    (HAZARDS, FACTS, _hazard_facts),
    (SEGMENT, SYMPTOMS, _listed("symptoms")),
    (SEGMENT, HAZARDS, _listed("hazards")),
)


def unknown_references(read: Assembly) -> Iterator[Problem]:
    """Every name of a fact, symptom, cause, check or hazard that no record has."""
    for owner, target, references in _RULES:
        known = read.of(target)
        for entry in read.of(owner).values():
            for path, name in references(entry.record):
                if name not in known:
                    yield _unknown(entry, path, name, target, known)
    yield from _unknown_word_facts(read)


def _unknown(entry: Entry, path: Path, name: str, target: Kind, known: Iterable[str]) -> Problem:
    fix = f"{suggest(name, known)} Or add it to trade/{target.name}.yaml."
    of_key = isinstance(path[-1], str) and path[-1] == name
    return entry.problem(path, f"there is no '{name}' among the {target.name}", fix, of_key=of_key)


def _unknown_word_facts(read: Assembly) -> Iterator[Problem]:
    known = read.of(FACTS)
    for entry in read.word_files:
        implied = ((("implies", n, "fact"), one.fact) for n, one in enumerate(entry.record.implies))
        valued = ((("values", name), name) for name in entry.record.values)
        for path, name in chain(valued, implied):
            if name not in known:
                yield _unknown(entry, path, name, FACTS, known)


def unknown_sources(read: Assembly) -> Iterator[Problem]:
    """A source of one word is taken for an id of sources.yaml; longer text is a citation of its own."""
    known = read.of(SOURCES)
    for kind in (FACTS, CAUSES, CHECKS, HAZARDS, ANSWERS, SEGMENT):
        for entry in read.of(kind).values():
            name = entry.record.source
            if name and " " not in name and name not in known:
                fix = f"{suggest(name, known)} Or write the source out in words."
                message = f"there is no source '{name}'"
                yield entry.problem(["source"], message, fix, severity="warning")

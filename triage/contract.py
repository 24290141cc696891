"""A reading as JSON: the contract for scripts. Keys are added, never changed or taken away."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields
from typing import Any, TypeVar, cast

from triage.model import (
    CauseBelief,
    CheckStep,
    Conflict,
    Decision,
    Draft,
    Fact,
    FactValue,
    Finding,
    Gap,
    HazardNote,
    Match,
    Reading,
    Sentence,
    Signal,
    Span,
    Standing,
)

Record = Mapping[str, Any]
T = TypeVar("T", Conflict, Finding, Gap, Match, CauseBelief, CheckStep)


def reading_to_json(reading: Reading) -> dict[str, object]:
    """The reading as plain JSON values, in the shape scripts rely on; further fields are additions."""
    return {
        "id": reading.id,
        "facts": [fact_to_json(fact) for fact in reading.facts],
        "conflicts": [_record(conflict) for conflict in reading.conflicts],
        "findings": [_record(finding) for finding in reading.findings],
        "gaps": [_record(gap) for gap in reading.gaps],
        "matches": [_record(match) for match in reading.matches],
        "decision": reading.decision.value,
        "reasons": list(reading.reasons),
        "unsure": reading.unsure,
        "causes": [_record(cause) for cause in reading.causes],
        "checks": [_record(check) for check in reading.checks],
        "hazards": [_hazard_to_json(note) for note in reading.hazards],
        "draft": draft_to_json(reading.draft),
        "timing_ms": dict(reading.timing_ms),
    }


def reading_from_json(record: Record) -> Reading:
    """The reading `reading_to_json` wrote."""
    return Reading(
        id=record["id"],
        facts=_each(record["facts"], fact_from_json),
        conflicts=_each(record["conflicts"], _maker(Conflict)),
        findings=_each(record.get("findings", []), _maker(Finding)),  # readings kept by version 0.1 have none
        gaps=_each(record["gaps"], _maker(Gap)),
        matches=_each(record["matches"], _maker(Match)),
        decision=Decision(record["decision"]),
        reasons=tuple(record["reasons"]),
        unsure=record.get("unsure", False),  # readings kept by version 0.1 have none
        causes=_each(record["causes"], _maker(CauseBelief)),
        checks=_each(record["checks"], _maker(CheckStep)),
        hazards=_each(record["hazards"], _hazard_from_json),
        draft=draft_from_json(record["draft"]),
        timing_ms=dict(record["timing_ms"]),
    )


def fact_to_json(fact: Fact) -> dict[str, object]:
    """One fact; `start` and `end` are null for a fact without the asker's words."""
    start, end = _ends(fact.span)
    return {
        "name": fact.name, "value": _listed(fact.value), "unit": fact.unit, "standing": fact.standing.value,
        "start": start, "end": end, "basis": fact.basis, "vehicle": fact.vehicle, "what": fact.what,
        "condition": fact.condition, "message": fact.message,
        "mentions": [[span.start, span.end] for span in fact.mentions],
    }  # fmt: skip


def fact_from_json(record: Record) -> Fact:
    """The fact `fact_to_json` wrote."""
    return Fact(
        name=record["name"],
        value=cast(FactValue, _tupled(record["value"])),
        unit=record["unit"],
        standing=Standing(record["standing"]),
        span=_span(record),
        basis=record["basis"],
        vehicle=record["vehicle"],
        what=record["what"],
        condition=record["condition"],
        message=record["message"],
        mentions=tuple(Span(start, end) for start, end in record["mentions"]),
    )


def draft_to_json(draft: Draft) -> dict[str, object]:
    """A draft with its body spelt out, and every sentence with where it came from."""
    sentences = [
        {"text": s.text, "from": s.source, "paragraph": s.paragraph, "bullet": s.bullet} for s in draft.sentences
    ]
    return {
        "subject": draft.subject, "body": draft.body, "sentences": sentences,
        "reading_ease": draft.reading_ease,
    }  # fmt: skip


def draft_from_json(record: Record) -> Draft:
    """The draft `draft_to_json` wrote."""
    sentences = tuple(
        Sentence(text=s["text"], source=s["from"], paragraph=s["paragraph"], bullet=s["bullet"])
        for s in record["sentences"]
    )
    return Draft(subject=record["subject"], sentences=sentences, reading_ease=record["reading_ease"])


def _hazard_to_json(note: HazardNote) -> dict[str, object]:
    start, end = _ends(note.span)
    return {
        "hazard": note.hazard, "signal": note.signal.value, "note": note.note, "short": note.short,
        "stop": note.stop, "emergency": note.emergency, "urgent": note.urgent, "start": start, "end": end,
        "basis": note.basis, "message": note.message,
    }  # fmt: skip


def _hazard_from_json(record: Record) -> HazardNote:
    return HazardNote(
        hazard=record["hazard"], signal=Signal(record["signal"]), note=record["note"], short=record["short"],
        stop=record["stop"], urgent=record["urgent"], span=_span(record), basis=record["basis"],
        message=record.get("message", ""),  # readings kept by an earlier version have neither
        emergency=record.get("emergency", record["urgent"]),
    )  # fmt: skip


def _ends(span: Span | None) -> tuple[int | None, int | None]:
    return (span.start, span.end) if span else (None, None)


def _span(record: Record) -> Span | None:
    return None if record["start"] is None else Span(record["start"], record["end"])


def _record(value: Conflict | Finding | Gap | Match | CauseBelief | CheckStep) -> dict[str, object]:
    return {field.name: _listed(getattr(value, field.name)) for field in fields(value)}


def _maker(kind: type[T]) -> Callable[[Record], T]:
    def make(record: Record) -> T:
        values: dict[str, Any] = {name: _tupled(value) for name, value in record.items()}
        return kind(**values)

    return make


M = TypeVar("M")


def _each(records: list[Record], make: Callable[[Record], M]) -> tuple[M, ...]:
    return tuple(make(record) for record in records)


def _listed(value: object) -> object:
    return list(value) if isinstance(value, tuple) else value


def _tupled(value: object) -> object:
    return tuple(value) if isinstance(value, list) else value

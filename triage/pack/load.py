"""A knowledge pack, read, checked and frozen."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from triage.pack.assemble import Assembly, assemble
from triage.pack.journal import reading
from triage.pack.problem import PackError, Problem
from triage.pack.records import (
    ANSWERS,
    CALM,
    CAUSES,
    CAUSES_SEEN,
    CHECKS,
    CLUES,
    EVIDENCE,
    EXCUSES,
    FACTS,
    GROWTH,
    HAZARDS,
    INTENTS,
    LIMITS,
    SCOPE,
    SEGMENT,
    SOURCES,
    SPOKEN,
    SYMPTOMS,
    SYMPTOMS_TOLD,
    TOLD,
    VEHICLES,
    Kind,
)
from triage.pack.rules import errors_of
from triage.pack.schema import (
    Answer,
    Aside,
    Calm,
    Cause,
    Check,
    Clue,
    Excuse,
    FactKind,
    Finding,
    GrowthWords,
    Hazard,
    Limit,
    Powertrain,
    SegmentNote,
    Shop,
    Source,
    SpokenForm,
    Symptom,
    SymptomTold,
    Told,
    Vehicle,
    Wanted,
)
from triage.pack.seen import with_seen
from triage.pack.wording import Wording, override
from triage.pack.words import Words


@dataclass(frozen=True)
class Pack:
    """Everything a shop knows: the trade part with the shop's own part laid over it."""

    root: Path
    shop: Shop
    vehicles: tuple[Vehicle, ...] = ()
    answers: tuple[Answer, ...] = ()
    facts: Mapping[str, FactKind] = field(default_factory=dict)
    symptoms: Mapping[str, Symptom] = field(default_factory=dict)
    causes: Mapping[str, Cause] = field(default_factory=dict)
    checks: Mapping[str, Check] = field(default_factory=dict)
    hazards: Mapping[str, Hazard] = field(default_factory=dict)
    sources: Mapping[str, Source] = field(default_factory=dict)
    limits: Mapping[str, Limit] = field(default_factory=dict)
    clues: Mapping[str, Clue] = field(default_factory=dict)
    excuses: Mapping[str, Excuse] = field(default_factory=dict)
    calm: Mapping[str, Calm] = field(default_factory=dict)
    told: Mapping[str, Told] = field(default_factory=dict)
    symptoms_told: Mapping[str, SymptomTold] = field(default_factory=dict)
    evidence: Mapping[str, Finding] = field(default_factory=dict)
    scope: Mapping[str, Aside] = field(default_factory=dict)
    intents: Mapping[str, Wanted] = field(default_factory=dict)
    growth: Mapping[str, GrowthWords] = field(default_factory=dict)
    segment: Mapping[str, SegmentNote] = field(default_factory=dict)
    spoken: Mapping[str, SpokenForm] = field(default_factory=dict)
    words: Words = field(default_factory=Words)
    wording: Wording = field(default_factory=Wording)
    digest: str = ""  # hash over the content of every file: the same digest means the same pack

    def __hash__(self) -> int:
        return hash(self.digest)  # so that a pack can be the key of a cache

    @cached_property
    def _answers(self) -> dict[str, Answer]:
        return {answer.id: answer for answer in self.answers}

    @cached_property
    def _vehicles(self) -> dict[str, Vehicle]:
        return {vehicle.id: vehicle for vehicle in self.vehicles}

    def answer(self, name: str) -> Answer:
        """The answer with this id; KeyError when there is none."""
        return self._answers[name]

    def vehicle(self, name: str) -> Vehicle:
        """The vehicle with this id; KeyError when there is none."""
        return self._vehicles[name]

    def makes(self) -> tuple[str, ...]:
        """Every make of the catalogue once, in its order."""
        return tuple(dict.fromkeys(vehicle.make for vehicle in self.vehicles))

    def vehicles_of(self, powertrain: Powertrain) -> tuple[Vehicle, ...]:
        """The vehicles of one powertrain, in the catalogue's order."""
        return tuple(vehicle for vehicle in self.vehicles if vehicle.powertrain == powertrain)


def load(root: Path, *, trade: Path | None = None) -> Pack:
    """Read the pack in `root` (it holds shop/, and may hold trade/) over the trade part.

    Raises PackError with every problem at once. `trade` takes the place of the shipped trade part.
    """
    with reading(root / "shop"):
        read = assemble(root, trade or find_trade())
    if (errors := errors_of(read)) or read.shop is None:
        raise PackError(sorted(set(errors)))
    return freeze(read, read.shop.record)


def find_trade() -> Path:
    """The shipped trade part: TRIAGE_TRADE, else inside the installed package, else the source tree."""
    if named := os.environ.get("TRIAGE_TRADE"):
        return Path(named)
    package = Path(__file__).resolve().parents[1]
    places = [package / "knowledge" / "trade", package.parent / "knowledge" / "trade"]
    for place in places:
        if place.is_dir():
            return place
    fix = "Install the program again, or set TRIAGE_TRADE to a folder with facts.yaml and the others."
    raise PackError([Problem(str(places[0]), 0, 0, "", "the trade part is not there", fix)])


def freeze(read: Assembly, shop: Shop) -> Pack:
    """The pack of what has been read without errors."""

    def records(kind: Kind) -> dict[str, Any]:
        return {name: entry.record for name, entry in read.of(kind).items()}

    return Pack(
        root=read.root,
        shop=shop,
        vehicles=tuple(records(VEHICLES).values()),
        answers=tuple(records(ANSWERS).values()),
        facts=records(FACTS),
        symptoms=records(SYMPTOMS),
        causes=with_seen(records(CAUSES), records(CAUSES_SEEN)),
        checks=records(CHECKS),
        hazards=records(HAZARDS),
        sources=records(SOURCES),
        limits=records(LIMITS),
        clues=records(CLUES),
        excuses=records(EXCUSES),
        calm=records(CALM),
        told=records(TOLD),
        symptoms_told=records(SYMPTOMS_TOLD),
        evidence=records(EVIDENCE),
        scope=records(SCOPE),
        intents=records(INTENTS),
        growth=records(GROWTH),
        segment=records(SEGMENT),
        spoken=records(SPOKEN),
        words=read.words,
        wording=override(_segment_wording(records(SEGMENT)), read.wording),
        digest=read.digest(),
    )


def _segment_wording(notes: Mapping[str, SegmentNote]) -> Wording:
    """The phrases of the weekly hour; a shop's own wording goes before them."""
    return Wording({name: note.says for name, note in notes.items() if note.kind == "wording"})

"""Labelled questions: one JSON object a line, checked when read; every problem of a file is told at once."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import field
from pathlib import Path
from typing import Literal

from pydantic import ConfigDict, TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass

from triage.model import Decision, Standing
from triage.pack import Pack
from triage.pack.schema import Intent

_STRICT = ConfigDict(extra="forbid")

Voice = Literal["phone", "rambling", "second_language", "caps", "speech", "plain", "expert", "form"]
ClosedFact = Literal[
    "make", "model", "year", "powertrain", "pack_voltage", "battery_count", "battery_voltage",
    "battery_chemistry", "controller", "controller_current", "motor", "tyre_size", "wheel_diameter",
    "lift", "spacer", "top_speed",
]  # fmt: skip


@dataclass(frozen=True, config=_STRICT)
class ToldFact:
    """A closed fact the text tells; units are those of the fact's kind (V, A, in, mph)."""

    name: ClosedFact
    value: str | int | float
    standing: Standing


@dataclass(frozen=True, config=_STRICT)
class ToldMeasurement:
    """A reading the asker gives; "8.4-8.5" for a range, a list for one reading per battery."""

    what: str
    value: float | str | list[float]
    unit: str = ""
    condition: str | None = None


@dataclass(frozen=True, config=_STRICT)
class Labelled:
    """One question with what a technician reads in it."""

    id: str
    voice: Voice
    text: str
    intent: Intent
    decision: Decision
    answer: str | None = None  # None when nothing in the base fits
    subject: str = ""
    facts: list[ToldFact] = field(default_factory=list)
    symptoms: list[str] = field(default_factory=list)
    work_done: list[str] = field(default_factory=list)
    modifications: list[str] = field(default_factory=list)
    measurements: list[ToldMeasurement] = field(default_factory=list)
    conflicts: list[str] = field(default_factory=list)
    hazards: list[str] = field(default_factory=list)
    also_ok: list[str] = field(default_factory=list)
    decisive: str | None = None  # the fact to ask for first; None when enough is known
    decisive_ok: list[str] = field(default_factory=list)  # facts that would decide it as well
    tags: list[str] = field(default_factory=list)  # what the question was written to try
    kinds: list[str] = field(default_factory=list)  # the same, in the second shop's words

    @property
    def accepted(self) -> frozenset[str]:
        """The answers a technician would accept."""
        return frozenset([*self.also_ok, *([self.answer] if self.answer is not None else [])])

    @property
    def deciding(self) -> tuple[str, ...]:
        """The facts of which one should be asked for first; empty when enough is known."""
        return (self.decisive, *self.decisive_ok) if self.decisive else ()


class LabelError(ValueError):
    """A file of labels cannot be used; the text names every problem with file, line and what is wrong."""


_READ = TypeAdapter(Labelled)


def load_labels(file: Path) -> tuple[Labelled, ...]:
    """The labelled questions of a file, in its order. Raises LabelError with every problem by line."""
    if not file.is_file():
        raise LabelError(f"{file}: there is no such file of labelled questions.")
    found: dict[str, Labelled] = {}
    problems: list[str] = []
    for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), start=1):
        if not line.strip():
            continue
        try:
            label = _READ.validate_json(line)
        except ValidationError as error:
            problems += [f"{file}, line {number}: {text}" for text in _told(error)]
            continue
        if label.id in found:
            problems.append(f"{file}, line {number}: the id '{label.id}' is used before; give it another.")
        found[label.id] = label
    if problems:
        raise LabelError("\n".join(problems))
    return tuple(found.values())


def _told(error: ValidationError) -> Iterator[str]:
    for item in error.errors(include_url=False):
        where = ".".join(str(part) for part in item["loc"]) or "the line"
        yield f"{where}: {item['msg']} (got {json.dumps(item['input'], default=str)[:80]})"


def check_labels(labels: Sequence[Labelled], pack: Pack, *, symptom_ids: bool = True) -> None:
    """Raise LabelError for every name the pack does not have; such a label could never be met."""
    answers = {answer.id for answer in pack.answers}
    problems = []
    for label in labels:
        named = [("answer", label.accepted, answers), ("hazard", label.hazards, set(pack.hazards))]
        named.append(("decisive fact", label.deciding, set(pack.facts)))
        if symptom_ids:
            named.append(("symptom", label.symptoms, set(pack.symptoms)))
        for kind, names, known in named:
            problems += [f"{label.id}: unknown {kind} '{name}'" for name in sorted(names) if name not in known]
    if problems:
        raise LabelError("\n".join(problems))

"""A second labeler's labels against the first's: how far they agree, and what that leaves for the program to reach."""

from __future__ import annotations

import json
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from eval.cases import Case
from eval.kappa import cohen_kappa, kappa_interval
from eval.labels import LabelError, Labelled
from eval.resample import Interval
from eval.shops import HERE
from triage.model import Conflict, Fact, Gap, HazardNote, Match, Reading, Signal, Span

PLACE = Path("agreement") / "second_labeler.jsonl"  # in the folder of labels
SHOP = "fourth"  # whose questions were labelled twice

_READ = TypeAdapter(Labelled)
_HERE = Span(0, 0)


def load_second(first: Mapping[str, Labelled], file: Path = HERE / PLACE) -> dict[str, Labelled]:
    """The second labels by id; what the question itself says is the first file's. Nothing where there is no file.

    Raises LabelError with every line that is no label, or is for a question the first labeler did not have.
    """
    if not file.is_file():
        return {}
    found, problems = dict[str, Labelled](), list[str]()
    for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), start=1):
        try:
            label = _label(line, first)
            found[label.id] = label
        except (ValueError, KeyError, ValidationError) as error:
            problems.append(f"{file}, line {number}: {error}")
    if problems:
        raise LabelError("\n".join(problems))
    return found


def _label(line: str, first: Mapping[str, Labelled]) -> Labelled:
    told = json.loads(line)
    known = first[told["id"]]
    names = {field.name for field in fields(Labelled)}
    given = {name: value for name, value in told.items() if name in names}
    for reading in given.get("measurements", ()):
        reading["unit"] = reading.get("unit") or ""  # a hydrometer reading has none
    asked = {name: getattr(known, name) for name in ("voice", "text", "subject", "tags", "kinds")}
    return _READ.validate_python(given | asked)


def reading_of(label: Labelled) -> Reading:
    """A label in the shape of a reading, so that it can be scored as the program is."""
    offered = list(dict.fromkeys([*([label.answer] if label.answer else []), *label.also_ok]))
    return Reading(
        label.id,
        facts=tuple(_facts(label)),
        conflicts=tuple(Conflict(says, (), says) for says in label.conflicts),
        gaps=tuple(Gap(name, "", 1.0) for name in label.deciding),
        matches=tuple(Match(name, 1.0 / (place + 1)) for place, name in enumerate(offered)),
        decision=label.decision,
        hazards=tuple(HazardNote(name, Signal.WARNING, "", span=_HERE) for name in label.hazards),
    )


def _facts(label: Labelled) -> list[Fact]:
    """Closed facts with their standing; symptoms, work, changes, readings and what is wanted as told."""
    closed = [Fact(fact.name, fact.value, standing=fact.standing) for fact in label.facts]
    lists = {"symptom": label.symptoms, "work_done": label.work_done, "modification": label.modifications}
    told = [Fact(name, text) for name, texts in lists.items() for text in texts if not text.endswith(" planned")]
    readings = [Fact("measurement", _value(item.value), item.unit, what=item.what) for item in label.measurements]
    return [*closed, *told, *readings, Fact("intent", label.intent)]


def _value(value: object) -> str | float | tuple[float, ...]:
    if isinstance(value, list):
        return tuple(float(item) for item in value)
    return value if isinstance(value, str | int | float) else str(value)


def as_cases(cases: Sequence[Case], second: Mapping[str, Labelled]) -> list[Case]:
    """The questions labelled twice, with the second labels in place of the program's reading."""
    return [replace(c, reading=reading_of(second[c.gold.id])) for c in cases if c.gold.id in second]


@dataclass(frozen=True, slots=True)
class Agreement:
    """How far two labelers agree on one thing."""

    what: str
    things: int
    same: float  # share labelled alike
    kappa: float | None  # None where both always say the same one thing
    interval: Interval | None


Pair = tuple[Labelled, Labelled]


def agreements(pairs: Sequence[Pair]) -> list[Agreement]:
    """Decision, intent, answer, powertrain, whether there is a danger; symptoms one by one, there or not."""
    compared: dict[str, list[tuple[Hashable, Hashable]]] = {
        "decision": [(a.decision, b.decision) for a, b in pairs],
        "intent": [(a.intent, b.intent) for a, b in pairs],
        "answer": [(a.answer, b.answer) for a, b in pairs],
        "powertrain": [(_powertrain(a), _powertrain(b)) for a, b in pairs],
        "is there a danger": [(bool(a.hazards), bool(b.hazards)) for a, b in pairs],
        "is there a conflict": [(bool(a.conflicts), bool(b.conflicts)) for a, b in pairs],
        "symptoms, each there or not": _symptoms(pairs),
    }
    return [_agreement(what, labels) for what, labels in compared.items() if labels]


def _agreement(what: str, labels: Sequence[tuple[Hashable, Hashable]]) -> Agreement:
    first, second = [one for one, _ in labels], [other for _, other in labels]
    same = sum(one == other for one, other in labels) / len(labels)
    return Agreement(what, len(labels), same, cohen_kappa(first, second), kappa_interval(first, second))


def _powertrain(label: Labelled) -> str:
    held = sorted({str(f.value) for f in label.facts if f.name == "powertrain" and f.standing.holds})
    return " and ".join(held)


def _symptoms(pairs: Sequence[Pair]) -> list[tuple[Hashable, Hashable]]:
    """Every symptom that either labeler used anywhere, for every question."""
    used = sorted({symptom for pair in pairs for label in pair for symptom in label.symptoms})
    return [(symptom in a.symptoms, symptom in b.symptoms) for a, b in pairs for symptom in used]

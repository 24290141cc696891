"""Hard questions as a technician and as the program read them, side by side.

    python -m eval.hard [--out FILE]

Reads hard_questions.yaml and writes HARD.md. Two runs write the same bytes.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import cast

import yaml
from pydantic import ConfigDict, TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass as checked
from rapidfuzz.fuzz import token_set_ratio

from eval.cases import Case
from eval.catalogue import fuller_models
from eval.labels import ClosedFact, LabelError, Labelled, ToldFact
from eval.metrics_facts import NAMES
from eval.metrics_hazards import reported
from eval.metrics_told import ALIKE
from eval.pairing import Paired, pair
from eval.shops import HERE, opened, shops
from eval.tables import NOTHING, table
from eval.values import figures, same_value
from triage.model import Conflict, Decision, Fact, Question, Reading, Standing
from triage.pack import Pack, PackError
from triage.pipeline import Stages, read

QUESTIONS = HERE / "hard_questions.yaml"
ROWS = ("facts", "conflict", "missing", "danger", "decision")
NOTED = frozenset(
    [*NAMES, "symptom", "modification", "work_done", "measurement", "charger_voltage", "battery_age", "error_code",
     "serial"]
)  # fmt: skip
METRIC_ROUNDING = 0.03  # 19 km/h is told as 11.8 mph or as 12
_CONVERTED = frozenset({"lift", "spacer", "wheel_diameter", "top_speed", "tyre_size"})
_ASSERTED = frozenset({Standing.STATED, Standing.HEDGED, Standing.CORRECTED})
_NUMBERS = re.compile(r"-?\d+(?:\.\d+)?(?:[;-]\d+(?:\.\d+)?)*")
_FACT = re.compile(r"(?:(?P<vehicle>\d+): )?(?P<name>\w+) (?P<value>.+?)(?: \((?P<standing>\w+)\))?")


@checked(frozen=True, config=ConfigDict(extra="forbid"))
class Noted:
    """A question, and what a technician notes beside it; the forms are told at the top of hard_questions.yaml."""

    id: str
    text: str
    decision: Decision
    note: str
    tries: list[str] = field(default_factory=list)
    facts: list[str] = field(default_factory=list)
    conflict: list[str] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)
    danger: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Item:
    """One fact of either side in a form that can be compared; of a range or a list, one figure."""

    name: str
    value: str | float
    unit: str
    standing: Standing
    vehicle: int
    condition: str

    def __str__(self) -> str:
        """As written in hard_questions.yaml."""
        vehicle = f"{self.vehicle}: " if self.vehicle > 1 else ""
        value = f"{self.value:g}" if isinstance(self.value, float) else self.value
        measured = f" {self.unit}{' / ' if self.condition else ''}{self.condition}" if self.is_measured else ""
        standing = "" if self.standing is Standing.STATED else f" ({self.standing.value})"
        return f"{vehicle}{self.name} {value}{measured}{standing}"

    @property
    def is_measured(self) -> bool:
        """Unit and circumstance are compared for a measurement only; other facts have the unit of their kind."""
        return self.name == "measurement"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a comparison: what either side says, and in what they differ (nothing: they agree)."""

    name: str
    technician: Sequence[str]
    program: Sequence[str]
    differs: tuple[str, ...]
    worst: tuple[str, ...] = ()  # of these, what could mislead or hurt somebody


def load_questions(file: Path = QUESTIONS) -> tuple[Noted, ...]:
    """The questions of a file. Raises LabelError when it cannot be read as such."""
    try:
        return TypeAdapter(tuple[Noted, ...]).validate_python(yaml.safe_load(file.read_text(encoding="utf-8")))
    except (OSError, yaml.YAMLError, ValidationError) as error:
        raise LabelError(f"{file}: {error}") from error


def check_questions(questions: Iterable[Noted], pack: Pack) -> None:
    """Raise LabelError for every name the pack does not have; such a note could never be met."""
    problems = [f"{noted.id}: {problem}" for noted in questions for problem in _problems(noted, pack)]
    if problems:
        raise LabelError("\n".join(problems))


def _problems(noted: Noted, pack: Pack) -> Iterator[str]:
    items = [item for text in noted.facts for item in told(text)]
    conflicting = [name for text in noted.conflict for name in _names(text)]
    symptoms = [str(item.value) for item in items if item.name == "symptom"]
    named: list[tuple[str, Iterable[str], Iterable[str]]] = [
        ("fact", [item.name for item in items], NOTED),
        ("fact", [*conflicting, *noted.missing], pack.facts),
        ("symptom", symptoms, pack.symptoms),
        ("hazard", noted.danger, pack.hazards),
    ]
    for kind, names, known in named:
        yield from (f"unknown {kind} '{name}'" for name in names if name not in known)


def told(text: str) -> list[Item]:
    """A fact as a technician writes it; a list, and the ends of a range, are one item each.

    >>> [str(item) for item in told("2: measurement 6.2;5.9 V / at rest (past)")]
    ['2: measurement 6.2 V / at rest (past)', '2: measurement 5.9 V / at rest (past)']
    """
    found = _FACT.fullmatch(text)
    if not found or (found["standing"] and found["standing"] not in set(Standing)):
        raise LabelError(f"'{text}' is not of the form 'NAME VALUE' or 'NAME VALUE (standing)'.")
    standing, vehicle = Standing(found["standing"] or "stated"), int(found["vehicle"] or 1)
    value, _, condition = found["value"].partition(" / ")
    number, _, unit = value.partition(" ") if found["name"] == "measurement" else (value, "", "")
    return [Item(found["name"], one, unit, standing, vehicle, condition) for one in _figures(number)]


def _figures(text: str) -> Sequence[str | float]:
    return [float(one) for one in re.split(r"(?<=\d)[;-]", text)] if _NUMBERS.fullmatch(text) else [text]


def found_by(reading: Reading) -> list[Item]:
    """The facts of a reading that a technician would note, in the order of the text."""
    return [item for fact in reading.facts if fact.name in NOTED for item in _items(fact)]


def _items(fact: Fact) -> Iterator[Item]:
    for value in fact.value if isinstance(fact.value, tuple) else (fact.value,):
        plain = value if isinstance(value, str) else float(value)
        yield Item(fact.name, plain, fact.unit, fact.standing, fact.vehicle, fact.condition)


def compare(noted: Noted, reading: Reading, pack: Pack) -> tuple[Row, ...]:
    """The five lines of a question."""
    return (
        _facts(noted, reading, pack),
        _conflicts(noted, reading),
        _missing(noted, reading),
        _danger(noted, reading),
        _decision(noted.decision, reading.decision),
    )


def _decision(right: Decision, decided: Decision) -> Row:
    """Worst: an answer where there should be none yet, and danger that no person looks at first."""
    differs = () if decided is right else (f"decided {decided.value}, not {right.value}",)
    bold = decided is Decision.ANSWER or right is Decision.HAND_OVER
    return Row("decision", [right.value], [decided.value], differs, differs if bold else ())


def _facts(noted: Noted, reading: Reading, pack: Pack) -> Row:
    models = fuller_models(_label(noted), pack)
    there, found = [item for text in noted.facts for item in told(text)], found_by(reading)
    paired = pair(there, found, lambda gold, item: _likeness(gold, item, models), 1.0)
    met = [item for _, item in paired.pairs]
    shown = [str(item) for item in found if item.standing is not Standing.INFERRED or item in met]
    return Row("facts", noted.facts, shown, tuple(_fact_differences(paired)), tuple(_taken_as_true(there, found)))


def _taken_as_true(there: Iterable[Item], found: Iterable[Item]) -> Iterator[str]:
    for item in found:
        like = [gold for gold in there if gold.name == item.name and _same(gold, item)]
        if like and item.standing in _ASSERTED and not any(gold.standing.holds for gold in like):
            yield f"took as true: {item} instead of {like[0]}"


def _fact_differences(paired: Paired[Item, Item]) -> Iterator[str]:
    yield from (f"missed: {item}" for item in paired.missed)
    yield from (f"made up: {item}" for item in paired.false if item.standing in _ASSERTED)
    for gold, item in paired.pairs:
        if not _alike(gold, item):
            yield f"read as: {item} instead of {gold}"


def _likeness(gold: Item, item: Item, models: frozenset[str]) -> float:
    """0 for another fact; more for the same one, the more of its standing, vehicle and circumstance agrees."""
    if gold.name != item.name or not (_same(gold, item) or (gold.name == "model" and item.value in models)):
        return 0.0
    return 1.0 + (gold.standing is item.standing) + (gold.vehicle == item.vehicle) + _same_condition(gold, item)


def _alike(gold: Item, item: Item) -> bool:
    same = gold.standing is item.standing and gold.vehicle == item.vehicle
    return same and _same_condition(gold, item)


def _same(gold: Item, item: Item) -> bool:
    if gold.is_measured:
        return figures(gold.value, gold.unit) == figures(item.value, item.unit)
    if gold.name in ("work_done", "modification"):
        return token_set_ratio(str(gold.value).casefold(), str(item.value).casefold()) >= ALIKE
    return same_value(gold.name, gold.value, item.value) or (gold.name in _CONVERTED and _about(gold, item))


def _about(gold: Item, item: Item) -> bool:
    one, other = gold.value, item.value
    return isinstance(one, float) and isinstance(other, float) and abs(one - other) <= METRIC_ROUNDING * one


def _same_condition(gold: Item, item: Item) -> bool:
    if not gold.is_measured or gold.condition == item.condition:
        return True
    return token_set_ratio(gold.condition.casefold(), item.condition.casefold()) >= ALIKE


def _conflicts(noted: Noted, reading: Reading) -> Row:
    """One of the program meets one of the technician's when they share a fact; it may see more in the same facts."""
    paired = pair(noted.conflict, reading.conflicts, lambda a, b: float(len(_names(a) & set(b.facts))), 1.0)
    about = {name for text in noted.conflict for name in _names(text)}
    missed = tuple(f"missed: {text}" for text in paired.missed)
    made_up = tuple(f"made up: {_shown(one)}" for one in paired.false if about.isdisjoint(one.facts))
    return Row("conflict", noted.conflict, [_shown(one) for one in reading.conflicts], missed + made_up, missed)


def _names(text: str) -> frozenset[str]:
    return frozenset(text.partition(":")[0].split(" + "))


def _shown(conflict: Conflict) -> str:
    return f"{' + '.join(conflict.facts)}: {conflict.says}"


def _missing(noted: Noted, reading: Reading) -> Row:
    """The program agrees when it asks first for one of the technician's, or to settle a conflict about one."""
    asked = [gap.fact for gap in reading.gaps]
    settled = {name for conflict in reading.conflicts if conflict.ask for name in conflict.facts}
    agrees = not settled.union(asked[:1]).isdisjoint(noted.missing) if noted.missing else not asked
    said = f"asks {', '.join(asked) or 'nothing'}, not {' or '.join(noted.missing) or 'nothing'}"
    return Row("missing", noted.missing, asked, () if agrees else (said,))


def _danger(noted: Noted, reading: Reading) -> Row:
    seen = list(dict.fromkeys(reported(Case("demo", _label(noted), reading))))
    missed = tuple(f"missed: {name}" for name in noted.danger if name not in seen)
    made_up = tuple(f"made up: {name}" for name in seen if name not in noted.danger)
    return Row("danger", noted.danger, seen, missed + made_up, missed)


def _label(noted: Noted) -> Labelled:
    items = [item for text in noted.facts for item in told(text) if item.name in NAMES]
    facts = [ToldFact(cast(ClosedFact, item.name), str(item.value), item.standing) for item in items]
    return Labelled(noted.id, "plain", noted.text, "other", noted.decision, facts=facts, hazards=noted.danger)


_ABOUT = """\
Written by `python -m eval.hard` from `hard_questions.yaml`. The technician's notes were written before the program read
the texts, and are not changed afterwards. A fact is stated unless another standing follows. What the program infers is
left out unless the technician notes it as well; a planned, past, denied or other's fact that only the program sees is
shown and not counted against it. `missing` agrees when the program asks first for one of the technician's facts, or
settles a conflict about one, or when neither asks for anything. `≠` marks a line in which the two differ."""
Compared = Sequence[tuple[Noted, tuple[Row, ...]]]


def side_by_side(questions: Iterable[Noted], stages: Stages) -> Compared:
    """Each question with its five lines. Raises LabelError for a note that could never be met."""
    kept = tuple(questions)
    check_questions(kept, stages.pack)
    return [(noted, compare(noted, read(Question(noted.id, noted.text), stages), stages.pack)) for noted in kept]


def page(compared: Compared) -> str:
    """The whole comparison as Markdown."""
    top = ["# Hard questions, side by side", _ABOUT, "## Agreements", _agreements(compared), _fact_counts(compared)]
    parts = [*top, _wrong(compared), "## The questions", *(_question(noted, rows) for noted, rows in compared)]
    return "\n\n".join(parts) + "\n"


def _agreements(compared: Compared) -> str:
    rows = [(noted, row) for noted, lines in compared for row in lines]
    groups = {name: [not row.differs for _, row in rows if row.name == name] for name in ROWS}
    missing = [(bool(noted.missing), not row.differs) for noted, row in rows if row.name == "missing"]
    groups["missing, where the technician asks"] = [agrees for asks, agrees in missing if asks]
    groups["missing, where nothing is"] = [agrees for asks, agrees in missing if not asks]
    groups["all lines"] = [not row.differs for _, row in rows]
    groups["whole questions"] = [not any(row.differs for row in lines) for _, lines in compared]
    return table(["", "agree", "of"], [[name, str(sum(agree)), str(len(agree))] for name, agree in groups.items()])


def _fact_counts(compared: Compared) -> str:
    noted = sum(len(told(text)) for one, _ in compared for text in one.facts)
    differs = [text for _, rows in compared for row in rows if row.name == "facts" for text in row.differs]
    kinds = Counter(text.partition(":")[0] for text in differs)
    missed, otherwise = kinds["missed"], kinds["read as"]
    return (
        f"Of {noted} facts the technician notes, {noted - missed - otherwise} are read alike, {otherwise} with another "
        f"standing, vehicle or circumstance, and {missed} are missed; {kinds['made up']} are made up."
    )


def _wrong(compared: Compared) -> str:
    """First what could mislead or hurt somebody, then every difference."""
    worst = [(f"{noted.id} {row.name}", row.worst) for noted, rows in compared for row in rows]
    parts = ["## What the program got wrong", "### The worst", _listed(worst)]
    for name in ROWS:
        differs = [(noted.id, row.differs) for noted, rows in compared for row in rows if row.name == name]
        parts += [f"### {name.capitalize()}", _listed(differs)]
    return "\n\n".join(parts)


def _listed(wrong: Iterable[tuple[str, Sequence[str]]]) -> str:
    return "\n".join(f"- {where}: {'; '.join(texts)}" for where, texts in wrong if texts) or "Nothing."


def _question(noted: Noted, rows: Iterable[Row]) -> str:
    text = "\n".join(f"> {line}  " if line else ">" for line in noted.text.splitlines()).rstrip()
    lines = [
        [r.name, _cell(r.technician), _cell(r.program), "≠ " + _cell(r.differs) if r.differs else ""] for r in rows
    ]
    sides = table(["", "technician", "program", "differ"], lines).replace("---:", "---")
    return f"### {noted.id}: {', '.join(noted.tries)}\n\n{text}\n\n{sides}\n\nThe technician: {noted.note}"


def _cell(lines: Sequence[str]) -> str:
    return "<br>".join(lines) or NOTHING


def main(arguments: Sequence[str] | None = None) -> int:
    """The command; returns its exit code."""
    parser = argparse.ArgumentParser(prog="python -m eval.hard", description="Hard questions, side by side.")
    parser.add_argument("--out", type=Path, default=HERE / "HARD.md", help="where to write the comparison")
    options = parser.parse_args(arguments)
    try:
        with opened(shops("demo")[0]) as stages:
            compared = side_by_side(load_questions(), stages)
    except (LabelError, PackError) as error:
        print(error, file=sys.stderr)
        return 1
    options.out.write_text(page(compared), encoding="utf-8")
    print(_agreements(compared), _fact_counts(compared), sep="\n\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())

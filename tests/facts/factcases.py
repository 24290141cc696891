"""The questions of the tables below, and how a reading of one differs from what is written there."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from math import isclose
from pathlib import Path
from typing import Any

import yaml

from triage.facts import FactReader
from triage.model import Fact, Standing

FILES = tuple(
    Path(__file__).parent / name
    for name in ("questions.yaml", "stress.yaml", "fresh.yaml", "fresh_again.yaml", "fresh_third.yaml")
)
CLOSED = frozenset(
    "make model year powertrain pack_voltage battery_count battery_voltage battery_chemistry controller "
    "controller_current motor tyre_size wheel_diameter lift spacer top_speed".split()
)
_CONVERTED = frozenset({"lift", "spacer", "wheel_diameter", "top_speed", "tyre_size"})  # often told in metric units
_FACT = re.compile(r"(?:(?P<vehicle>\d): )?(?P<name>\w+) (?P<value>.+?)(?: \((?P<standing>\w+)\))?$")
_MEASURED = re.compile(r"(?P<what>[a-z ]+?) (?P<value>[\d. ]+) (?P<unit>\S+)(?: / (?P<condition>.+))?$")

Said = tuple[int, str, str]  # vehicle, name, value


@dataclass(frozen=True)
class Row:
    """One question with what is written about it."""

    group: str
    text: str
    facts: Mapping[Said, str]
    before: tuple[str, ...] = ()
    weak: str = ""
    rest: Mapping[str, Any] = field(default_factory=dict)


def rows() -> list[Row]:
    """Every question of the files, in order."""
    loaded = [yaml.safe_load(file.read_text(encoding="utf-8")) for file in FILES]
    return [_row(group, record) for groups in loaded for group, records in groups.items() for record in records]


def _row(group: str, record: dict[str, Any]) -> Row:
    rest = {k: v for k, v in record.items() if k not in ("text", "facts", "before", "weak")}
    facts = dict(_told(line) for line in record["facts"])
    before = tuple(map(str, record.get("before", ())))
    return Row(group, str(record["text"]), facts, before, record.get("weak", ""), rest)


def _told(line: str) -> tuple[Said, str]:
    match = _FACT.match(line)
    assert match, f"cannot be read: {line}"
    return (int(match["vehicle"] or 1), match["name"], match["value"]), match["standing"] or "stated"


def read(reader: FactReader, row: Row) -> tuple[Fact, ...]:
    """The facts of the last message, the earlier ones of the thread being known."""
    known: tuple[Fact, ...] = ()
    for number, text in enumerate(row.before):
        facts = reader.read(reader.language.annotate(text), known)
        carried = (fact for fact in facts if fact.standing is not Standing.INFERRED)
        known = tuple(replace(fact, message=fact.message or f"message {number}") for fact in carried)
    return reader.read(reader.language.annotate(row.text), known)


def differences(row: Row, facts: Iterable[Fact]) -> list[str]:
    """What is missed, made up or of another standing; empty when all is as written."""
    facts = tuple(facts)
    return [
        *_closed_differences(row, facts),
        *_never(row, facts),
        *_infers(row, facts),
        *_says(row, facts),
        *_listed(row, facts, "work", "work_done"),
        *_listed(row, facts, "changed", "modification"),
        *_codes(row, facts),
        *_measured(row, facts),
        *_intent(row, facts),
    ]


def _closed_differences(row: Row, facts: tuple[Fact, ...]) -> Iterator[str]:
    closed = [fact for fact in facts if fact.name in CLOSED]
    for said, standing in row.facts.items():
        found = [fact for fact in closed if _is(said, fact)]
        if not found:
            yield f"missed {said}"
        elif standing not in {fact.standing.value for fact in found}:
            yield f"standing of {said} is {found[0].standing.value}, not {standing}"
    for fact in closed:
        if fact.standing is not Standing.INFERRED and not any(_is(said, fact) for said in row.facts):
            yield f"made up {fact.vehicle}: {fact.name} {fact.value} ({fact.standing.value})"


def _is(said: Said, fact: Fact) -> bool:
    vehicle, name, value = said
    return (vehicle, name) == (fact.vehicle, fact.name) and same(name, value, fact.value)


def same(name: str, written: str, value: object) -> bool:
    """The same value; lengths and speeds to a twentieth."""
    if isinstance(value, int | float):
        try:
            return isclose(float(written), value, abs_tol=0.05 if name in _CONVERTED else 1e-9)
        except ValueError:
            return False
    return written.casefold() == str(value).casefold()


def _never(row: Row, facts: tuple[Fact, ...]) -> Iterator[str]:
    for line in row.rest.get("never", ()):
        said, _ = _told(line)
        yield from (f"must not be read: {line}" for fact in facts if _is(said, fact))


def _infers(row: Row, facts: tuple[Fact, ...]) -> Iterator[str]:
    for line in row.rest.get("infers", ()):
        said, _ = _told(line)
        if not any(_is(said, fact) and fact.standing.holds and fact.basis for fact in facts):
            yield f"not inferred: {line}"


def _says(row: Row, facts: tuple[Fact, ...]) -> Iterator[str]:
    for name, words in row.rest.get("says", {}).items():
        if not any(fact.name == name and words in fact.basis for fact in facts):
            yield f"basis of {name} does not say: {words}"


def _listed(row: Row, facts: tuple[Fact, ...], key: str, name: str) -> Iterator[str]:
    if key in row.rest:
        found = {str(fact.value) for fact in facts if fact.name == name and fact.standing.holds}
        there = set(row.rest[key])
        yield from (f"{name} missed: {item}" for item in sorted(there - found))
        yield from (f"{name} made up: {item}" for item in sorted(found - there))


def _codes(row: Row, facts: tuple[Fact, ...]) -> Iterator[str]:
    if "codes" in row.rest:
        found = {str(fact.value) for fact in facts if fact.name == "error_code" and fact.standing.holds}
        yield from (f"code missed or made up: {code}" for code in sorted(found ^ set(row.rest["codes"])))


def _measured(row: Row, facts: tuple[Fact, ...]) -> Iterator[str]:
    there = [_reading(line) for line in row.rest.get("measured", ())]
    found = [_as_reading(fact) for fact in facts if fact.name == "measurement" and fact.standing is not Standing.OTHER]
    for reading in there:
        if reading in found:
            found.remove(reading)
        else:
            yield f"measurement missed: {reading}"
    yield from (f"measurement made up: {reading}" for reading in found)


def _reading(line: str) -> tuple[str, tuple[float, ...], str, str]:
    match = _MEASURED.match(line)
    assert match, f"cannot be read: {line}"
    values = tuple(float(value) for value in match["value"].split())
    return match["what"], values, match["unit"], (match["condition"] or "").casefold()


def _as_reading(fact: Fact) -> tuple[str, tuple[float, ...], str, str]:
    values = fact.value if isinstance(fact.value, tuple) else (float(fact.value),)
    return fact.what, tuple(map(float, values)), fact.unit, fact.condition.casefold()


def _intent(row: Row, facts: tuple[Fact, ...]) -> Iterator[str]:
    wanted = row.rest.get("intent")
    found = next((str(fact.value) for fact in facts if fact.name == "intent"), "other")
    if wanted and wanted != found:
        yield f"intent {found}, not {wanted}"

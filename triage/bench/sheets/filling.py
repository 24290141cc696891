"""A worksheet's form filled in: each value read by itself, so that every mistake is told at its field."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf

from triage.bench.sheets.known import Known
from triage.physics.limits import OutOfRange, UnreadableCode
from triage.physics.sheets.record import Outcome, shown_unit
from triage.physics.worksheet import Input, InputError, Value, WorkResult, Worksheet, advice, value_of

LONGEST = 400  # characters of one value


@dataclass(frozen=True, slots=True)
class Field:
    """One value of the form."""

    name: str
    label: str
    unit: str
    hint: str
    choices: tuple[str, ...]
    text: str  # as typed; empty where nothing was
    origin: str = ""  # where the value stands already: "from the question"
    wrong: str = ""  # what is wrong with it, in words


@dataclass(frozen=True, slots=True)
class Filled:
    """The form, and what came of it: a result, or what is wrong."""

    fields: tuple[Field, ...]
    result: WorkResult | None = None
    wrong: str = ""  # what is wrong with the values together

    @property
    def faults(self) -> tuple[Field, ...]:
        """The fields that need another value."""
        return tuple(item for item in self.fields if item.wrong)


@dataclass(frozen=True, slots=True)
class _Read:
    values: Mapping[str, Value]
    wrong: Mapping[str, str] = field(default_factory=dict)


def blank(sheet: Worksheet, known: Mapping[str, Known]) -> Filled:
    """The form before anything was asked; `known` are values that the question told, by input."""
    told = ((item, known.get(item.name, Known("", ""))) for item in sheet.inputs)
    return Filled(tuple(_field(item, one.text, one.origin) for item, one in told))


def filled(sheet: Worksheet, given: Mapping[str, str]) -> Filled:
    """The form with what was typed, and the result where every value can be used."""
    read = _read(sheet, given)
    fields = tuple(_field(item, given.get(item.name, ""), wrong=read.wrong.get(item.name, "")) for item in sheet.inputs)
    if read.wrong:
        return Filled(fields)
    try:
        return Filled(fields, sheet.run(**read.values))
    except (OutOfRange, UnreadableCode) as error:
        return Filled(fields, wrong=str(error))


def _read(sheet: Worksheet, given: Mapping[str, str]) -> _Read:
    values: dict[str, Value] = {}
    wrong: dict[str, str] = {}
    for item in sheet.inputs:
        try:
            values[item.name] = value_of(item, given.get(item.name, "")[:LONGEST])
        except (InputError, OutOfRange) as error:
            wrong[item.name] = _at_its_field(str(error), item)
    return _Read(values, wrong)


def _at_its_field(words: str, item: Input) -> str:
    """Without the input's name on the command line, which nobody sees here."""
    told = words.replace(f" ({item.name})", "", 1)
    return told[:1].upper() + told[1:]


def _field(item: Input, text: str, origin: str = "", wrong: str = "") -> Field:
    text = text or (str(item.default) if item.choices and item.default is not None else "")
    return Field(item.name, item.label, shown_unit(item.unit), _hint(item), item.choices, text, origin, wrong)


def _hint(item: Input) -> str:
    """What may be written: range and example, and what counts when the field stays empty."""
    if item.choices:
        return ""
    parts = [_range(item), advice(item)]
    if item.default is not None:
        parts.append(f"{Outcome(item.label, item.default, item.unit).text} if left empty")
    return "; ".join(part for part in parts if part)


def _range(item: Input) -> str:
    low, high = item.low, item.high
    if low is None or high is None:
        return ""
    return f"{low:g} or more" if high == inf else f"{low:g} to {high:g}"

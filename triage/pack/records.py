"""Plain data to the records of the schema, with every mistake told in plain words and by its place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import MISSING, Field, dataclass, fields, is_dataclass
from typing import Any

from pydantic import TypeAdapter, ValidationError

from triage.pack.documents import Place
from triage.pack.problem import Problem, suggest
from triage.pack.schema import (
    Answer,
    Aside,
    Calm,
    Cause,
    CauseSeen,
    Check,
    Clue,
    Excuse,
    FactKind,
    Finding,
    GrowthWords,
    Hazard,
    Limit,
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
from triage.pack.words import Words


@dataclass(frozen=True)
class Kind:
    """One kind of record: where it is kept and what it is made of."""

    name: str  # "facts": file stem in trade/, or folder in shop/
    type: type
    body: str = ""  # the key that a Markdown body fills

    def keys(self) -> list[str]:
        """The keys a record of this kind may have."""
        return [f.name for f in self._fields()]

    def required(self) -> list[str]:
        """The keys a record of this kind must have."""
        return [f.name for f in self._fields() if f.default is MISSING and f.default_factory is MISSING]

    def _fields(self) -> tuple[Field[Any], ...]:
        return fields(self.type) if is_dataclass(self.type) else ()  # phrases have any keys


FACTS, SYMPTOMS, CAUSES = Kind("facts", FactKind), Kind("symptoms", Symptom), Kind("causes", Cause)
CHECKS, HAZARDS, SOURCES = Kind("checks", Check), Kind("hazards", Hazard), Kind("sources", Source)
LIMITS, CLUES, EXCUSES = Kind("limits", Limit), Kind("clues", Clue), Kind("excuses", Excuse)
CALM, TOLD, EVIDENCE = Kind("calm", Calm), Kind("told", Told), Kind("evidence", Finding)
VEHICLES, ANSWERS = Kind("vehicles", Vehicle, "notes"), Kind("answers", Answer, "text")
SHOP, WORDS = Kind("shop", Shop), Kind("words", Words)
PHRASES, SCOPE, INTENTS = Kind("phrases", dict), Kind("scope", Aside), Kind("intents", Wanted)
SYMPTOMS_TOLD, GROWTH = Kind("symptoms_told", SymptomTold), Kind("growth", GrowthWords)
SEGMENT = Kind("segment", SegmentNote)
SPOKEN = Kind("spoken", SpokenForm)
TRADE_LISTS = (
    *(FACTS, SYMPTOMS, CAUSES, CHECKS, HAZARDS, SOURCES, LIMITS),
    *(CLUES, EXCUSES, CALM, TOLD, EVIDENCE, SCOPE, INTENTS, SYMPTOMS_TOLD, GROWTH, SEGMENT, SPOKEN),
)
SHOP_FOLDERS = (VEHICLES, ANSWERS)
CAUSES_SEEN = Kind("causes_seen", CauseSeen)

_ADAPTERS: dict[type, TypeAdapter[Any]] = {
    kind.type: TypeAdapter(kind.type) for kind in (*TRADE_LISTS, *SHOP_FOLDERS, CAUSES_SEEN, SHOP, WORDS)
}
_ADAPTERS[dict] = TypeAdapter(dict[str, list[str]])


@dataclass(frozen=True)
class Entry:
    """A record with the place it came from."""

    kind: Kind
    record: Any
    document: Place
    path: tuple[str | int, ...] = ()  # of the record within its document

    def problem(self, path: Sequence[str | int], message: str, fix: str = "", **more: object) -> Problem:
        """A problem of the value at `path` within this record."""
        return self.document.problem((*self.path, *path), message, fix, **more)


def build(kind: Kind, data: object, document: Place, path: tuple[str | int, ...] = ()) -> Entry | list[Problem]:
    """The record in `data`, or everything that is wrong with it. An empty value counts as not given."""
    if not isinstance(data, dict):
        keys = ", ".join(kind.required() or kind.keys())
        fix = f"Write it as 'key: value' lines{'; keys here: ' * bool(keys)}{keys}."
        return [document.problem(path, f"{_name(kind)} is made of keys and values, not {_what(data)}", fix)]
    given: dict[str, Any] = {key: value for key, value in data.items() if value is not None}
    if kind.body and kind.body in given:
        fix = "Move it under the second --- line."
        return [document.problem((*path, kind.body), f"'{kind.body}' is the text of the file", fix)]
    if kind.body and document.body:
        given[kind.body] = document.body
    try:
        return Entry(kind, _ADAPTERS[kind.type].validate_python(given), document, path)
    except ValidationError as error:
        return [_explain(kind, detail, document, path) for detail in error.errors(include_url=False)]


def _explain(kind: Kind, detail: Any, document: Place, path: tuple[str | int, ...]) -> Problem:
    where = (*path, *detail["loc"])
    match detail["type"]:
        case "unexpected_keyword_argument":
            known = suggest(str(where[-1]), kind.keys()) if len(detail["loc"]) == 1 else ""
            return document.problem(where, f"unknown key '{where[-1]}'", known, of_key=True)
        case "missing":
            return document.problem(where, f"'{where[-1]}' is missing", f"Add a line '{where[-1]}: ...'.")
    message = f"{_shown(detail['input'])} does not fit: {_expected(detail)}"
    return document.problem(where, message, _fix(detail))


def _expected(detail: Any) -> str:
    context = detail.get("ctx", {})
    match detail["type"]:
        case "literal_error" | "enum":
            return f"it must be {context['expected']}"
        case "string_pattern_mismatch":
            return f"it must look like the pattern {context['pattern']}"
        case "list_type":
            return "it must be a list, one '- ' line each"
        case "dict_type" | "dataclass_type":
            return "it must be made of 'key: value' lines"
    message: str = detail["msg"]
    return message[0].lower() + message[1:]


def _fix(detail: Any) -> str:
    if detail["type"] in ("literal_error", "enum") and isinstance(detail["input"], str):
        choices = detail["ctx"]["expected"].replace(" or ", ", ").replace("'", "").split(", ")
        return suggest(detail["input"], choices)
    return ""


def _shown(value: object) -> str:
    return "an empty value" if value in (None, "") else repr(value)[:60]


def _what(data: object) -> str:
    return "empty" if data is None else "a list" if isinstance(data, list) else "plain text"


def _name(kind: Kind) -> str:
    return kind.name if kind in (SHOP, WORDS, PHRASES) else f"each of the {kind.name}"

"""Readings: what was measured, where, its value and unit, and under which condition; per-battery lists."""

from __future__ import annotations

from collections.abc import Iterator

from triage.facts.battery import is_reading
from triage.facts.candidate import Candidate, plain, words_basis
from triage.facts.trade import BATTERY_PARTS, CHARGER_PARTS
from triage.language import Document
from triage.language.numbers import Quantity, number_lists

_PRESSURE = frozenset({"psi", "bar"})
_RESISTANCE = frozenset({"ohm", "kohm"})
_DURATION = frozenset({"h", "min"})
_CHARGE_STEMS = frozenset({"charg", "charger"})
_GRAVITY = (1.05, 1.35)
_PART_REACH = 6
_CONDITION_REACH = 6
_USUAL_UNIT_PER_BATTERY = (1.5, 17.0)


def find(document: Document, taken: frozenset[int]) -> Iterator[Candidate]:
    """Candidates named "measurement"; `taken` are tokens already read as another fact."""
    used: set[int] = set()
    for run in number_lists(document.tokens, document.quantities):
        if _is_per_battery(run):
            used.update(range(run[0].first, run[-1].last))
            yield _list_candidate(document, run)
    for quantity in document.quantities:
        if quantity.first not in taken and quantity.first not in used:
            yield from _single(document, quantity)


def _is_per_battery(run: tuple[Quantity, ...]) -> bool:
    low, high = _USUAL_UNIT_PER_BATTERY
    values = [quantity.value for quantity in run]
    in_volts = all(low <= value <= high for value in values)
    units = {quantity.unit for quantity in run} - {""}
    return (units <= {"V"} and in_volts and any(q.decimal for q in run)) or _is_gravity_run(run)


def _is_gravity_run(run: tuple[Quantity, ...]) -> bool:
    return all(_gravity(quantity) is not None for quantity in run)


def _list_candidate(document: Document, run: tuple[Quantity, ...]) -> Candidate:
    first, last = run[0].first, run[-1].last
    gravity = _is_gravity_run(run)
    values = tuple((_gravity(q) or 0.0) if gravity else float(q.value) for q in run)
    return Candidate(
        "measurement",
        values,
        first,
        last,
        "sg" if gravity else "V",
        basis=words_basis(document, first, last),
        what="each battery",
        condition=condition_near(document, first, last),
    )


def _gravity(quantity: Quantity) -> float | None:
    """1.265 as it stands or typed as 1265."""
    if quantity.unit not in ("", "sg"):
        return None
    value = quantity.value / 1000 if 1050 <= quantity.value <= 1350 else quantity.value
    return value if _GRAVITY[0] <= value <= _GRAVITY[1] and (quantity.decimal or value != quantity.value) else None


def _single(document: Document, quantity: Quantity) -> Iterator[Candidate]:
    what = _measured_thing(document, quantity)
    if not what:
        return
    value: float = quantity.value
    unit = quantity.unit
    if what == "specific gravity":
        value, unit = _gravity(quantity) or value, "sg"
    yield Candidate(
        "measurement",
        plain(value) if unit != "sg" else value,
        quantity.first,
        quantity.last,
        unit,
        basis=words_basis(document, quantity.first, quantity.last),
        what=what,
        condition=condition_near(document, quantity.first, quantity.last),
    )


def _measured_thing(document: Document, quantity: Quantity) -> str:
    """What the number measures; "" when it is not a reading."""
    if quantity.unit == "V" or (
        quantity.unit == "" and quantity.decimal and is_reading(document, quantity.first) and 1.5 < quantity.value < 120
    ):
        return _voltage_of(document, quantity)
    if quantity.unit in _PRESSURE:
        return _part_near(document, quantity) or "pressure"
    if quantity.unit in _RESISTANCE:
        return f"{_part_near(document, quantity) or 'circuit'} resistance"
    if quantity.unit in _DURATION and _CHARGE_STEMS & set(_clause_stems(document, quantity)):
        return "charge time"
    if quantity.unit in ("A", "Ah", "rpm", "W", "kW"):
        return (
            f"{_part_near(document, quantity)} {_KIND[quantity.unit]}".strip()
            if is_reading(document, quantity.first) or quantity.unit in ("Ah",)
            else ""
        )
    if quantity.unit in ("mile", "km"):
        return "distance"
    if _gravity(quantity) is not None and (quantity.unit == "sg" or is_reading(document, quantity.first)):
        return "specific gravity"
    return ""


_KIND = {"A": "current", "Ah": "capacity", "rpm": "speed", "W": "power", "kW": "power"}


def _voltage_of(document: Document, quantity: Quantity) -> str:
    part = _part_near(document, quantity)
    if part in CHARGER_PARTS:
        return "charger voltage"
    if part and part not in BATTERY_PARTS:
        return f"{part} voltage"
    return "battery voltage" if quantity.value < 17 else "pack voltage"


def _part_near(document: Document, quantity: Quantity) -> str:
    """The nearest part named before in the sentence, else after in the clause."""
    tokens, parts = document.tokens, document.of_kind("part")
    sentence, clause = tokens[quantity.first].sentence, tokens[quantity.first].clause
    before = [m for m in parts if 0 <= quantity.first - m.last <= _PART_REACH and tokens[m.first].sentence == sentence]
    if before:
        return before[-1].entry.key
    after = [m for m in parts if 0 <= m.first - quantity.last <= _PART_REACH and tokens[m.first].clause == clause]
    return after[0].entry.key if after else ""


def _clause_stems(document: Document, quantity: Quantity) -> list[str]:
    clause = document.tokens[quantity.first].clause
    return [token.stem for token in document.tokens if token.clause == clause]


def condition_near(document: Document, first: int, last: int) -> str:
    """The circumstance told right after (else before) in the same sentence, in the asker's words."""
    tokens = document.tokens
    sentence = tokens[first].sentence
    cues = [cue for cue in document.scopes.cues("condition") if tokens[cue.first].sentence == sentence]
    after = [
        cue
        for cue in cues
        if 0 <= cue.first - last <= _CONDITION_REACH and not _number_between(document, last, cue.first)
    ]
    if after:
        return document.words(after[0].first, after[0].last)
    before = [
        cue
        for cue in cues
        if 0 <= first - cue.last <= _CONDITION_REACH and not _number_between(document, cue.last, first)
    ]
    return document.words(before[-1].first, before[-1].last) if before else ""


def _number_between(document: Document, first: int, last: int) -> bool:
    return any(token.kind == "number" for token in document.tokens[first:last])

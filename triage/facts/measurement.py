"""Readings: what was measured, its value and unit, and under which condition; per-battery lists."""

from __future__ import annotations

from collections.abc import Iterator

from triage.facts.candidate import Candidate, words_basis
from triage.facts.condition import condition_near, has_condition
from triage.facts.measured import part_measured
from triage.facts.measured_things import (
    LENGTHS,
    is_bare_inches,
    is_bare_ohms,
    length_of,
    percentage_of,
    pressure_of,
    spoken_decimal,
)
from triage.facts.trade import BATTERY_PARTS, CHARGER_PARTS, METER_PARTS, Trade
from triage.facts.volts import is_read_after, is_reading
from triage.language import Document
from triage.language.quantities import Quantity, number_lists

_PRESSURE = frozenset({"psi", "bar", "kPa"})
_ALWAYS = {"ppm": "gas in the air", "mV": "voltage", "rpm": "speed"}  # units in which nothing is sold or planned
_RESISTANCE = frozenset({"ohm", "kohm"})
_DURATION = frozenset({"h", "min"})
_KIND = {"A": "current", "Ah": "capacity", "W": "power", "kW": "power"}
_CHARGE_STEMS = frozenset({"charg", "charger"})
_GRAVITY = (1.05, 1.35)
_GRAVITY_WORDS = frozenset("acid gravity hydrometer density electrolyte sg cells cell".split())
_PER_BATTERY = (1.5, 17.0)  # V
_VOLTAGE = (1.5, 120.0)  # V, of a reading told without its unit
_UNIT_BATTERY = 17  # V; above this it is the whole pack's
_TELLS_STATE = frozenset("says at is are all each reads was were only still to".split())
_PACK_REACH = 25  # words from the pack or a meter to its reading
_AFTER_VOLTS = frozenset("when with at down up and but or then on i it to as while after for".split())
_CLAUSE_REACH = 15
_OHMS = {"kohm": "ohm"}
_CARRIED = _PRESSURE | {"A", "mm"}
_CARRY_REACH = 7  # words from a reading to the next, told without its unit


def find(document: Document, trade: Trade, taken: frozenset[int]) -> Iterator[Candidate]:
    """Candidates named "measurement"; `taken` are tokens already read as another fact."""
    used: set[int] = set()
    for run in number_lists(document.tokens, document.quantities):
        if _is_per_battery(run) and run[0].first not in taken:
            used.update(range(run[0].first, run[-1].last))
            yield _list_candidate(document, run)
    sentence_before, unit_before = -1, ""
    for quantity in document.quantities:
        if quantity.first in taken or quantity.first in used:
            continue
        if quantity.high is not None:
            yield from _swing(document, quantity)
            continue
        quantity = spoken_decimal(document, quantity)
        used.update(range(quantity.first, quantity.last))
        sentence = document.tokens[quantity.first].sentence
        before = unit_before if sentence_before == sentence else ""
        what, unit, value = _measured_thing(document, quantity, trade, before)
        if what:
            sentence_before, unit_before = sentence, _OHMS.get(unit, unit)
            yield _candidate(document, quantity, what, unit, value)


def _swing(document: Document, quantity: Quantity) -> Iterator[Candidate]:
    """ "goes from 0.4 to 4.7 volts": both ends were read."""
    if quantity.unit == "V" and quantity.decimal and quantity.high is not None and is_reading(document, quantity.first):
        part = part_measured(document, quantity)
        for end in (quantity.value, quantity.high):
            what = f"{part} voltage" if part else _voltage_of(document, quantity)
            yield _candidate(document, quantity, what, "V", _exact(end))


def _candidate(document: Document, quantity: Quantity, what: str, unit: str, value: float) -> Candidate:
    first, last = quantity.first, quantity.last
    condition = condition_near(document, first, last)
    return Candidate(
        "measurement", value, first, last, unit, words_basis(document, first, last), what=what, condition=condition
    )


def _is_per_battery(run: tuple[Quantity, ...]) -> bool:
    low, high = _PER_BATTERY
    in_volts = all(low <= quantity.value <= high for quantity in run)
    units = {quantity.unit for quantity in run} - {""}
    return (units <= {"V"} and in_volts and any(q.decimal for q in run) and _gravity(run[0]) is None) or all(
        _gravity(quantity) is not None for quantity in run
    )


def _list_candidate(document: Document, run: tuple[Quantity, ...]) -> Candidate:
    first, last = run[0].first, run[-1].last
    gravities = [_gravity(quantity) for quantity in run]
    by_gravity = None not in gravities
    values = tuple(g or 0.0 for g in gravities) if by_gravity else tuple(float(q.value) for q in run)
    return Candidate(
        "measurement",
        values,
        first,
        last,
        "sg" if by_gravity else "V",
        basis=words_basis(document, first, last),
        what="each battery",
        condition=condition_near(document, first, last),
    )


def _gravity(quantity: Quantity) -> float | None:
    """1.265 as it stands or typed as 1265; "1.225 in battery 6" has no inches."""
    if quantity.unit not in ("", "sg", "in"):
        return None
    value = quantity.value / 1000 if 1050 <= quantity.value <= 1350 else quantity.value
    return value if _GRAVITY[0] <= value <= _GRAVITY[1] and (quantity.decimal or value != quantity.value) else None


def _measured_thing(document: Document, quantity: Quantity, trade: Trade, before: str) -> tuple[str, str, float]:
    """What the number measures with unit and value; ("", "", 0) when it is not a reading.

    `before` is the unit of the reading just before in the sentence.
    """
    unit, value = (
        quantity.unit or _borrowed(document, quantity) or _carried(document, quantity, before),
        _exact(quantity.value),
    )
    gravity = _gravity(quantity)
    if gravity is not None and _about_acid(document, quantity):
        return "specific gravity", "sg", gravity
    if is_bare_ohms(document, quantity, goes_on=before == "ohm"):
        return f"{part_measured(document, quantity) or 'circuit'} resistance", "ohm", value
    if is_bare_inches(document, quantity):
        return f"{part_measured(document, quantity)} width", "in", value
    if _is_voltage(document, quantity, trade, before == "V"):
        return _voltage_of(document, quantity), "V", value
    if unit in ("degC", "degF") or (unit == "deg" and value < 0):
        part = part_measured(document, quantity)
        return f"{part} temperature".strip(), "degC" if unit == "deg" else unit, value
    if unit in _PRESSURE:
        part = part_measured(document, quantity)
        return pressure_of(document, quantity, part), unit, value
    if unit in _RESISTANCE and _is_read(document, quantity):
        return f"{part_measured(document, quantity) or 'circuit'} resistance", unit, value
    if unit in _DURATION and _about_charging(document, quantity):
        return "charge time", unit, value
    if unit in _ALWAYS:
        return f"{part_measured(document, quantity)} {_ALWAYS[unit]}".strip(), unit, value
    if unit == "%":
        return percentage_of(document, quantity), unit, value
    if unit in LENGTHS and not document.scopes.planned(quantity.first):
        return length_of(document, quantity), unit, value
    if unit in _KIND and (is_reading(document, quantity.first) or has_condition(document, quantity.last)):
        return f"{part_measured(document, quantity)} {_KIND[unit]}".strip(), unit, value
    return "", "", 0


def _exact(value: float) -> int | float:
    """A reading as told: a sixteenth of an inch is not rounded off."""
    return int(value) if float(value).is_integer() else round(value, 5)


def _carried(document: Document, quantity: Quantity, before: str) -> str:
    """ "145 psi dry, 150 wet", "9.6 bar cold, oil added: 9.9": the unit of the reading before."""
    last = next((q for q in reversed(document.quantities_from(quantity.first - _CARRY_REACH, _CARRY_REACH - 1))), None)
    if before not in _CARRIED or last is None or quantity.unit or quantity.high is not None:
        return ""
    like = bool(last.value) and 0.3 < quantity.value / last.value < 3 and last.decimal == quantity.decimal
    return before if like and _counts_nothing(document, quantity.last) | has_condition(document, quantity.last) else ""


def _borrowed(document: Document, quantity: Quantity) -> str:
    """ "9.6 and 9.4 bar": the unit comes with the second number."""
    following = document.quantities_from(quantity.last + 1, 0)
    joined = document.norm(quantity.last) in ("and", ",", "/", "or")
    like = (q.unit for q in following if q.decimal == quantity.decimal and q.unit in _PRESSURE | _RESISTANCE)
    return next(like, "") if joined else ""


def _about_acid(document: Document, quantity: Quantity) -> bool:
    around = range(max(0, quantity.first - 12), min(quantity.last + 4, len(document.tokens)))
    words = {document.norm(i) for i in around if document.same_sentence(i, quantity.first)}
    return quantity.unit == "sg" or bool(words & _GRAVITY_WORDS)


def _is_voltage(document: Document, quantity: Quantity, trade: Trade, goes_on: bool) -> bool:
    if quantity.unit == "V":
        return goes_on or not _is_nominal(document, quantity, trade)
    low, high = _VOLTAGE
    if (
        quantity.unit
        or not (low < quantity.value < high or (quantity.value == 0 and goes_on) or _is_across(document, quantity))
        or document.norm(quantity.last) in ("miles", "times", "x", "%", "of")
    ):
        return False
    reading = is_reading(document, quantity.first) or is_read_after(document, quantity.last)
    if quantity.decimal:
        told = _tells_battery(document, quantity) or _follows_battery(document, quantity)
        follows = any(True for _ in document.scopes.near("condition", quantity.first, 0, 0))  # "after charging 50.9"
        told = told or follows or _at_load(document, quantity) or _on_batteries(document, quantity)
        return reading or has_condition(document, quantity.last) or goes_on or told
    if quantity.value == 0:
        return True
    told = reading or has_condition(document, quantity.last) or _goes_to(document, quantity)
    if goes_on and low < quantity.value < _UNIT_BATTERY and document.norm(quantity.last) == "on":
        return True  # "12 volts on three and 7 on the last"
    return quantity.value > _UNIT_BATTERY and told and (goes_on or _is_of_pack(document, quantity, trade))


def _is_read(document: Document, quantity: Quantity) -> bool:
    """A resistance that was read; "a 0-5k pot" is a kind of sensor, "or 5k to 0" a question."""
    nominal = document.norm(quantity.last - 1) == "k" and not quantity.decimal
    return not nominal or is_reading(document, quantity.first) or has_condition(document, quantity.last)


def _is_across(document: Document, quantity: Quantity) -> bool:
    """ "0.04 across the contactor"."""
    return quantity.decimal and document.norm(quantity.last) == "across" and bool(part_measured(document, quantity))


def _is_of_pack(document: Document, quantity: Quantity, trade: Trade) -> bool:
    """A whole number that a pack may have, with the batteries or a meter spoken of in the sentence or just before."""
    usual = any(0.6 * volts <= quantity.value <= 1.3 * volts for volts in trade.pack_voltages)
    near = document.before("part", quantity.first, _PACK_REACH)
    spoken = any(m.entry.key in BATTERY_PARTS | CHARGER_PARTS | METER_PARTS for m in near)
    return usual and spoken and _counts_nothing(document, quantity.last)


def _counts_nothing(document: Document, index: int) -> bool:
    ends = index >= len(document.tokens) or document.tokens[index].kind == "mark"
    return ends or document.norm(index) in _AFTER_VOLTS


def _is_nominal(document: Document, quantity: Quantity, trade: Trade) -> bool:
    """ "12 V", "51.2 V": what is written on a thing, unless something says that it was read."""
    nominal = quantity.value in trade.battery_voltages | trade.pack_voltages | trade.block_voltages | {
        110.0,
        120.0,
        230.0,
        240.0,
    }
    return nominal and not is_reading(document, quantity.first) and not has_condition(document, quantity.last)


def _on_batteries(document: Document, quantity: Quantity) -> bool:
    """ "8.1 on all but one"."""
    low, high = _PER_BATTERY
    on = document.norm(quantity.last) == "on" and document.norm(quantity.last + 1) in (
        "all",
        "each",
        "one",
        "every",
        "both",
    )
    return low <= quantity.value <= high and on


def _at_load(document: Document, quantity: Quantity) -> bool:
    """ "31.8 at 140 A"."""
    at = document.norm(quantity.last) in ("at", "under", "@")
    return at and any(q.unit == "A" for q in document.quantities_from(quantity.last + 1, 0))


def _goes_to(document: Document, quantity: Quantity) -> bool:
    """ "from 50 to 39", "drops to 61 ... comes back to 74"."""
    return document.norm(quantity.first - 1) in ("to", "from", "at", "stays")


def _tells_battery(document: Document, quantity: Quantity) -> bool:
    """ "number three is at 5.2", with batteries spoken of and a value that one battery has."""
    low, high = 4.0, _PER_BATTERY[1]
    state = document.norm(quantity.first - 1) in _TELLS_STATE
    spoken = any(m.entry.key in BATTERY_PARTS for m in document.before("part", quantity.first, 25))
    return low <= quantity.value <= high and state and spoken


def _follows_battery(document: Document, quantity: Quantity) -> bool:
    """ "pack 49.9", "seven batteries 6.3": right after the batteries, with no unit."""
    return any(mention.entry.key in BATTERY_PARTS for mention in document.before("part", quantity.first, 0))


def _voltage_of(document: Document, quantity: Quantity) -> str:
    part = part_measured(document, quantity)
    if part in CHARGER_PARTS:
        return "charger voltage"
    if part and part not in BATTERY_PARTS:
        return f"{part} voltage"
    return "battery voltage" if quantity.value < _UNIT_BATTERY else "pack voltage"


def _about_charging(document: Document, quantity: Quantity) -> bool:
    if document.norm(quantity.last) in ("after", "ago", "later", "before", "since", "then"):
        return False
    around = range(max(0, quantity.first - _CLAUSE_REACH), min(quantity.last + _CLAUSE_REACH, len(document.tokens)))
    clause = document.tokens[quantity.first].clause
    return any(document.tokens[i].clause == clause and document.stems[i] in _CHARGE_STEMS for i in around)

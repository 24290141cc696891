"""Readings that are no volts: lengths, pressures, shares, ohms told without their unit, decimals without a point."""

from __future__ import annotations

from dataclasses import replace

from triage.facts.condition import has_condition
from triage.facts.measured import part_measured
from triage.facts.trade import BATTERY_PARTS, TYRE_PARTS, WHEEL_PARTS
from triage.facts.volts import is_reading
from triage.language import Document
from triage.language.quantities import Quantity

LENGTHS = frozenset({"mm", "cm", "in"})
_SENSOR = frozenset({"throttle sensor", "sensor", "throttle pedal"})
_SENSOR_REACH = 30
_OHMS = frozenset({"ohm", "ohms", "ohmmeter"})
_PEDAL = frozenset({"up", "down"})
_OHM_LEAST = 100  # a sensor's reading told bare; less is no resistance of one unless ohms were spoken of
_STATE_WORDS = frozenset("leakdown charge soc display meter gauge app shows says battery screen dash".split())
_WITH_WIDTH = frozenset({"drive belt", "starter belt", "brake shoes", "brushes"})
_SIXTY_FOURTHS, _WIDEST = 64, 4  # of an inch; in
_REACH = 8
_NEAR = 4  # words from a part to its length
_SAYS_LEAST, _SAYS_MOST = 4, 14  # V; one battery told as "twelve seven"
_TELLING = frozenset("is are like at says reads was all about only be and".split())


def is_bare_inches(document: Document, quantity: Quantity) -> bool:
    """ "belt measures 1 and 1/32 across": a width in a fraction has inches."""
    eighths = quantity.decimal and (quantity.value * _SIXTY_FOURTHS).is_integer() and quantity.value < _WIDEST
    fraction = any(document.norm(i) == "/" for i in range(quantity.first, quantity.last))
    return not quantity.unit and eighths and fraction and part_measured(document, quantity) in _WITH_WIDTH


def length_of(document: Document, quantity: Quantity) -> str:
    """What a length was measured of, with its part in the clause; "" for the size of a thing wanted."""
    part = part_measured(document, quantity)
    if part in TYRE_PARTS | WHEEL_PARTS or _is_area(document, quantity.last):
        return ""
    near = [m for m in document.before("part", quantity.first, _NEAR) if document.same_clause(m.first, quantity.first)]
    return f"{part} width".strip() if near or is_reading(document, quantity.first) else ""


def _is_area(document: Document, index: int) -> bool:
    """ "25 mm2" is a section of cable."""
    return document.norm(index) == "2" and document.tokens[index].start == document.tokens[index - 1].end


def pressure_of(document: Document, quantity: Quantity, part: str) -> str:
    """Pressure of a part; "compression" where the engine's is told."""
    words = {document.norm(i) for i in range(max(0, quantity.first - _REACH), quantity.first)}
    return "compression" if "compression" in words else f"{part} pressure".strip()


def percentage_of(document: Document, quantity: Quantity) -> str:
    """ "leakdown 12 percent", "the display says 60 %"; "" for a slope or a guess."""
    window = range(max(0, quantity.first - _REACH), quantity.first)
    words = [document.norm(i) for i in window if document.same_sentence(i, quantity.first)]
    if "leakdown" in words:
        return "leakdown"
    return "state of charge" if set(words) & _STATE_WORDS and set(words[-2:]) & _TELLING | _STATE_WORDS else ""


def is_bare_ohms(document: Document, quantity: Quantity, *, goes_on: bool) -> bool:
    """ "pedal sender 4980 up and 12 down", "ohm meter on the coil says 96"; `goes_on` after a reading in ohms."""
    if quantity.unit or quantity.high is not None or _is_in_name(document, quantity.first):
        return False
    said = is_reading(document, quantity.first) or document.norm(quantity.first - 1) in ("says", "said", "is")
    told = said or has_condition(document, quantity.last) or document.norm(quantity.last) in _PEDAL
    if goes_on and not quantity.decimal:
        return told or document.norm(quantity.first - 1) in _PEDAL | {"from", "to", "floor", "off"}
    words = _words_around(document, quantity)
    sensor = quantity.value >= _OHM_LEAST and any(
        m.entry.key in _SENSOR for m in document.before("part", quantity.first, _SENSOR_REACH)
    )
    return told and bool(words & _OHMS or sensor) and not words & {"volts", "volt", "v"}


def _is_in_name(document: Document, first: int) -> bool:
    """The 1 of "F1"."""
    return (
        first > 0
        and document.tokens[first - 1].is_word
        and document.tokens[first - 1].end == document.tokens[first].start
    )


def _words_around(document: Document, quantity: Quantity) -> set[str]:
    around = range(max(0, quantity.first - 20), min(quantity.last + 4, len(document.tokens)))
    return {document.norm(i) for i in around if document.same_sentence(i, quantity.first)}


def spoken_decimal(document: Document, quantity: Quantity) -> Quantity:
    """ "the others are twelve seven": 12.7, with batteries spoken of."""
    following = next(iter(document.quantities_from(quantity.last, 0)), None)
    words = document.tokens[quantity.first].is_word and following and document.tokens[following.first].is_word
    if not words or following is None or quantity.unit or quantity.decimal or following.decimal:
        return quantity
    usual = _SAYS_LEAST <= quantity.value <= _SAYS_MOST and 0 <= following.value <= 9 and following.unit in ("", "V")
    told = document.norm(quantity.first - 1) in _TELLING
    spoken = any(m.entry.key in BATTERY_PARTS for m in document.before("part", quantity.first, 30))
    if not (usual and told and spoken):
        return quantity
    value = quantity.value + following.value / 10
    return replace(quantity, value=value, unit=following.unit, last=following.last, decimal=True)

"""Voltages told without their unit: "its a 48", "48 not 36", "Volts: 48"."""

from __future__ import annotations

from collections.abc import Iterator

from triage.facts.candidate import Candidate
from triage.facts.names import VEHICLE_NOUNS
from triage.facts.trade import BATTERY_PARTS, CHARGER_PARTS, METER_PARTS, Trade
from triage.facts.volts import follows_name, is_reading, part_after, volts_candidate
from triage.language import Document
from triage.language.quantities import Quantity

_BARE_BEFORE = frozenset(
    "a an my its is are the was to go from not sorry meant be on think or and mine actually wait got now been "
    "only as both mines isnt wasnt aint".split()
)
_BARE_BEFORE_TWO = frozenset(
    {
        ("stay", "at"),
        ("keep", "at"),
        ("stick", "with"),
        ("not", "but"),
        ("one", "of"),
        ("is", "of"),
        ("both", "are"),
        ("says", ","),
        ("made", "it"),
        ("make", "it"),
        ("label", "says"),
        ("plate", "says"),
        ("sticker", "says"),
        ("old", ","),
    }
)
_BARE_AFTER_NOT = frozenset(
    "off inch inches miles mile hours hour minutes days holes batteries battery year years old times people rounds "
    "amp amps percent degrees of psi mph x month months weeks seats seater wheels tires tyres in ft feet dollars "
    "pounds quid th st nd".split()
)
_ASK_REACH = 10  # words from "is" to what is asked
_LIST_REACH = 6  # words from the name to a voltage in the list after it
_LEAST_BEFORE_NAME = 30  # V; a smaller number before a name is its year
_VOLT_LABELS = frozenset({"volts", "volt", "voltage", "v"})


def find(document: Document, trade: Trade, taken: set[int]) -> Iterator[Candidate]:
    """ "its a 48", "48 not 36", "Volts: 48", "NAME, 48.": a usual pack voltage without its unit."""
    for quantity in document.quantities:
        if _is_bare_block(document, quantity, trade):
            yield volts_candidate(document, quantity, "pack_voltage")
        usual = quantity.value in trade.pack_voltages and not quantity.unit and not quantity.decimal
        if not usual or quantity.first in taken or document.tokens[quantity.first].kind == "year":
            continue
        if _is_of_charger(document, quantity.first) or _is_asked(document, quantity):
            continue
        called = document.norm(quantity.first - 2) == "voltage" and document.norm(quantity.first - 1) == "is"
        if _is_bare_voltage(document, quantity) and (called or not is_reading(document, quantity.first)):
            yield volts_candidate(document, quantity, "pack_voltage")


def _is_of_charger(document: Document, first: int) -> bool:
    """ "the charger is a 48"."""
    said = document.norm(first - 1) in ("is", "a", "says")
    return said and any(m.entry.key in CHARGER_PARTS for m in document.before("part", first, 2))


def _is_asked(document: Document, quantity: Quantity) -> bool:
    """ "Is the NAME a 48?"."""
    opening = quantity.first
    while opening > 0 and quantity.first - opening < _ASK_REACH and document.same_sentence(opening - 1, quantity.first):
        opening -= 1
    return document.norm(opening) == "is" and document.norm(quantity.last) == "?"


def _is_bare_block(document: Document, quantity: Quantity, trade: Trade) -> bool:
    """ "my 76.8 shuttle"."""
    return (
        not quantity.unit and quantity.value in trade.block_voltages and document.norm(quantity.last) in VEHICLE_NOUNS
    )


def _is_bare_voltage(document: Document, quantity: Quantity) -> bool:
    before, after = document.norm(quantity.first - 1), document.norm(quantity.last)
    part = part_after(document, quantity.last)
    if document.between("name", quantity.last, quantity.last) and quantity.value > _LEAST_BEFORE_NAME:
        return True
    if _labelled(document, quantity) or _after_name(document, quantity) or _opens_correction(document, quantity):
        return True
    chemistry = (m.entry.key == "battery_chemistry" for m in document.between("value", quantity.last, quantity.last))
    if after in ("together", "total", "altogether") or any(chemistry) or _all_told(document, quantity):
        return True
    if (
        after in _BARE_AFTER_NOT
        or _may_be_speed(document, quantity)
        or _names_part(part)
        or _other_unit_follows(document, quantity)
    ):
        return False
    if document.before("name", quantity.first, 0) and document.tokens[quantity.first].kind == "number":
        return True  # "NAME 36 dead as a stone"
    earlier = [document.norm(i) for i in range(max(0, quantity.first - 4), quantity.first - 1)]
    return before in _BARE_BEFORE or any((word, before) in _BARE_BEFORE_TWO for word in earlier)


def _may_be_speed(document: Document, quantity: Quantity) -> bool:
    """ "20 km/h, normal is 24"."""
    near = document.quantities_from(quantity.first - 12, 24)
    return any(q.unit in ("mph", "km/h") for q in near) and not any(q.unit == "V" for q in near)


def _all_told(document: Document, quantity: Quantity) -> bool:
    return (document.norm(quantity.last), document.norm(quantity.last + 1)) in (
        ("all", "told"),
        ("in", "all"),
        ("in", "total"),
    )


def _names_part(part: str) -> bool:
    return bool(part) and part not in BATTERY_PARTS


def _other_unit_follows(document: Document, quantity: Quantity) -> bool:
    """ "from 24 to 19 mph": the unit comes with the second number."""
    nearby = [q for q in document.quantities_from(quantity.last, 3) if q.unit not in ("", "V")]
    return bool(nearby) and document.norm(quantity.last) in ("to", "or", "and", "-", "–", ",")


def _labelled(document: Document, quantity: Quantity) -> bool:
    """ "Volts: 48", "Voltage 36"."""
    before, earlier = document.norm(quantity.first - 1), document.norm(quantity.first - 2)
    labelled = before in ("voltage", "volts") or (before in (":", "=") and earlier in _VOLT_LABELS)
    return labelled and not _label_of_part(document, quantity.first - 2)


def _label_of_part(document: Document, index: int) -> bool:
    """ "charger voltage: 48", "meter voltage 25"."""
    near = [m.entry.key for m in document.before("part", index + 1, 1)]
    return any(key in METER_PARTS | CHARGER_PARTS for key in near)


def _after_name(document: Document, quantity: Quantity) -> bool:
    """ "NAME, 48.", "NAME (sepex, 48)", "lithium 48, ...": alone in a list of what the vehicle is."""
    apart = document.norm(quantity.first - 1) in (",", "(")
    ends = document.norm(quantity.last) in ("", ".", ",", ";", ")", "?", "!") or _ends_sentence(document, quantity.last)
    names = document.before("name", quantity.first, _LIST_REACH)
    listed = any(document.same_sentence(name.first, quantity.first) for name in names)
    kind = any(m.entry.key == "battery_chemistry" for m in document.before("value", quantity.first, 0))
    return ends and (kind or (apart and (listed or follows_name(document, quantity.first - 1))))


def _ends_sentence(document: Document, index: int) -> bool:
    return index >= len(document.tokens) or not document.same_sentence(index - 1, index)


def _opens_correction(document: Document, quantity: Quantity) -> bool:
    """ "36, sorry, 48 volts": taken back at once."""
    opens = quantity.first == 0 or not document.same_sentence(quantity.first - 1, quantity.first)
    cues = list(document.scopes.near("correction", 0, quantity.last, 0, 1))
    follow = document.quantities_from(quantity.last, 5)
    return opens and bool(cues) and any(q.unit in ("V", "") for q in follow)

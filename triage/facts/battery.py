"""Voltages: the pack's, each battery's, the charger's; the rest are readings or ratings of some part."""

from __future__ import annotations

from collections.abc import Iterator

from triage.facts import bare_voltage, counts, layouts
from triage.facts.candidate import Candidate, plain, words_basis
from triage.facts.names import VEHICLE_NOUNS
from triage.facts.trade import BATTERY_PARTS, CHARGER_PARTS, Trade
from triage.facts.volts import follows_name, is_reading, part_after, volts_candidate
from triage.language import Document
from triage.language.numbers import PLURALS
from triage.language.quantities import Quantity
from triage.model import Standing

_OWN = frozenset({"my", "our"})


def find(document: Document, trade: Trade) -> Iterator[Candidate]:
    """Candidates for pack_voltage, battery_count, battery_voltage, charger_voltage and battery_age."""
    taken: set[int] = set()
    for candidate in layouts.find(document, trade):
        taken.update(range(candidate.first, candidate.last))
        yield candidate
    yield from _voltages(document, trade, taken)
    yield from bare_voltage.find(document, trade, taken)
    yield from _plural_volts(document, taken)
    yield from counts.find(document, trade, taken)


def _voltages(document: Document, trade: Trade, taken: set[int]) -> Iterator[Candidate]:
    for quantity in document.quantities:
        if quantity.unit == "V" and quantity.high in trade.pack_voltages and quantity.value in trade.pack_voltages:
            yield from _from_to(document, quantity)
        if quantity.unit != "V" or quantity.first in taken or quantity.high is not None:
            continue
        name = _role(document, quantity, trade)
        if name:
            fixed = Standing.STATED if name == "pack_voltage" and follows_name(document, quantity.first) else None
            yield volts_candidate(document, quantity, name, fixed)


def _from_to(document: Document, quantity: Quantity) -> Iterator[Candidate]:
    """ "from 36 to 48 volts": the pack's volts before and after a change."""
    if document.norm(quantity.first - 1) == "from" and document.norm(quantity.first + 1) == "to" and quantity.high:
        first, last = quantity.first, quantity.last
        basis = words_basis(document, first, last)
        yield Candidate("pack_voltage", plain(quantity.value), first, first + 1, "V", basis=basis)
        yield Candidate("pack_voltage", plain(quantity.high), first + 2, last, "V", basis=basis)


def _role(document: Document, quantity: Quantity, trade: Trade) -> str:
    """Which closed fact a voltage is; "" for a reading or the rating of some part."""
    if quantity.value in trade.pack_voltages and follows_name(document, quantity.first):
        return "pack_voltage"
    part = "" if _is_lead_listed(document, quantity) else part_after(document, quantity.last)
    if part in CHARGER_PARTS or _is_of_charger(document, quantity):
        return "charger_voltage"
    if part in BATTERY_PARTS and quantity.value in trade.battery_voltages:
        return "battery_voltage" if _is_plural(document, quantity.last) else ""
    if part and part not in BATTERY_PARTS and not _tells_pack(document, quantity, trade):
        return ""
    if is_reading(document, quantity.first) and not _rated(document, quantity):
        return ""
    if quantity.decimal:
        return "pack_voltage" if _is_block(document, quantity, part, trade) else ""
    if quantity.value in trade.pack_voltages:
        return "pack_voltage"
    each = _each(document, quantity.last) or _rated(document, quantity)
    return "battery_voltage" if quantity.value in trade.battery_voltages and each else ""


def _is_lead_listed(document: Document, quantity: Quantity) -> bool:
    """ "NAME, 72 V lead, ...": the kind of battery, and no cable."""
    return document.norm(quantity.first - 1) == "," and document.norm(quantity.last) == "lead"


def _is_of_charger(document: Document, quantity: Quantity) -> bool:
    """ "the charger is 36V"."""
    said = document.norm(quantity.first - 1) in ("is", ":", "=", "says")
    return said and any(m.entry.key in CHARGER_PARTS for m in document.before("part", quantity.first - 1, 0))


def _tells_pack(document: Document, quantity: Quantity, trade: Trade) -> bool:
    """ "a 48v solenoid" rates the solenoid; "my 48v solenoid" still tells the pack."""
    return quantity.value in trade.pack_voltages and document.norm(quantity.first - 1) in _OWN


def _is_block(document: Document, quantity: Quantity, part: str, trade: Trade) -> bool:
    """ "76.8 V pack", "51.2 volt lithium": the nominal voltage of a lithium block, with what it is of beside it."""
    if quantity.value not in trade.block_voltages:
        return False
    beside = document.norm(quantity.last)
    chemistry = document.between("value", quantity.last, quantity.last + 1)
    if document.norm(quantity.first - 1) == "of" and document.before("part", quantity.first - 1, 0):
        part = document.before("part", quantity.first - 1, 0)[-1].entry.key  # "a pack of 51.2 V"
    return (
        part in BATTERY_PARTS or beside in VEHICLE_NOUNS or any(m.entry.key == "battery_chemistry" for m in chemistry)
    )


def _is_plural(document: Document, index: int) -> bool:
    """A single "12 volt battery" may be the accessory battery; several are the pack's."""
    words = [document.norm(i) for i in range(index, index + 3)]
    return any(word.endswith("s") for word in words if word.startswith("bat")) or "wets" in words


def _each(document: Document, index: int) -> bool:
    return any(document.norm(i) in ("each", "apiece", "ones", "eaches") for i in range(index, index + 2))


def _rated(document: Document, quantity: Quantity) -> bool:
    """ "two are marked 12 V": what stands on it, not what it reads."""
    return any(
        document.same_sentence(cue.first, quantity.first)
        for cue in document.scopes.near("rating", quantity.first, quantity.last, 3)
    )


def _plural_volts(document: Document, taken: set[int]) -> Iterator[Candidate]:
    """ "NAME sixes", "the eights": batteries called by their volts."""
    for quantity in document.quantities:
        told = document.norm(quantity.first) in PLURALS and quantity.last == quantity.first + 1
        free = told and not quantity.unit and quantity.first not in taken and document.norm(quantity.first) != "fours"
        if free and (follows_name(document, quantity.first) or layouts.batteries_around(document, quantity.first)):
            yield volts_candidate(document, quantity, "battery_voltage")

"""How many batteries, and how old: "it has 6 batteries", "six of em", "batteries are 4 years old"."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from triage.facts.candidate import Candidate, plain, words_basis
from triage.facts.layouts import MOST
from triage.facts.trade import BATTERY_PARTS, Trade
from triage.language import Document, Mention
from triage.language.quantities import Quantity
from triage.model import Standing

_PRONOUN_REACH = 20
_SPOKEN_REACH = 40  # words from batteries to "there are 3"
_PARTIAL = frozenset(
    "replaced replacing changed bought fitted new only about number battery no than or one another just these into "
    "of first last other remaining".split()
)
_OWNING = frozenset("has have with got all my its takes uses runs using there are holds total of".split())
_NOT_BETWEEN = frozenset(
    "seat seats seater cap caps hole holes cell cells volt v amp hour year years month the of".split()
)
_READ = frozenset({"read", "reads", "show", "measure", "test", "came"})
_PIECES = frozenset({"piece", "pieces", "pcs", "pc", "off"})


def find(document: Document, trade: Trade, taken: set[int]) -> Iterator[Candidate]:
    """Candidates for battery_count and battery_age."""
    yield from _counts(document, trade, taken)
    yield from _all_read(document, taken)
    yield from _labelled(document, taken)
    yield from _ages(document)


def _counts(document: Document, trade: Trade, taken: set[int]) -> Iterator[Candidate]:
    """ "it has 6 batteries", "three sealed batteries", "of the nine batteries"; not "replaced five batteries"."""
    for quantity in document.quantities:
        if not _can_count(quantity) or quantity.first in taken or document.norm(quantity.first).startswith("0"):
            continue
        follows = (
            _named_after(document, quantity) or _there_are(document, quantity) or _of_a_kind(document, quantity, trade)
        )
        if follows and _is_whole_set(document, quantity, trade):
            yield _candidate(document, quantity, follows)


def _can_count(quantity: Quantity) -> bool:
    return not quantity.unit and not quantity.decimal and quantity.high is None and 1 < quantity.value <= MOST


def _candidate(document: Document, quantity: Quantity, last: int) -> Candidate:
    basis = words_basis(document, quantity.first, last)
    return Candidate("battery_count", plain(quantity.value), quantity.first, last, basis=basis)


def _is_whole_set(document: Document, quantity: Quantity, trade: Trade) -> bool:
    before = document.norm(quantity.first - 1)
    if before == "new" and document.norm(quantity.first - 2) in ("the", "my", "all"):
        return True  # "the new six batteries"
    if before == "the" and quantity.value in trade.battery_voltages and _is_single(document, quantity.last):
        return False  # "the 12 battery" has 12 volts
    if quantity.value >= 3:
        return before in _OWNING - {"of"} or before not in _PARTIAL
    return before in _OWNING - {"of"} or _makes_told_pack(document, quantity, trade)


def _is_single(document: Document, index: int) -> bool:
    return document.norm(index) in ("battery", "batt")


def _makes_told_pack(document: Document, quantity: Quantity, trade: Trade) -> bool:
    """ "24 volts, two batteries": a pair makes the pack that was told."""
    packs = {q.value for q in document.quantities[:50] if q.unit == "V" and q.value in trade.pack_voltages}
    return any(pack / quantity.value in trade.battery_voltages for pack in packs)


def _named_after(document: Document, quantity: Quantity) -> int:
    """The index after the batteries that the number counts; 0 when it counts something else."""
    index = quantity.last
    if document.quantities_from(index, 0):
        return 0  # "NAME 13 six batteries"
    between = {document.norm(i) for i in range(index, index + 2)}
    if not between & _NOT_BETWEEN:
        for mention in document.between("part", index, index + 2):
            near = mention.entry.key in BATTERY_PARTS and document.same_sentence(index - 1, mention.first)
            if near and not _only_part_of_word(document, mention):
                return mention.last
    return _pronoun(document, index) or _pieces(document, index)


def _only_part_of_word(document: Document, mention: Mention) -> bool:
    """ "battery tops", "battery cables": something of the battery."""
    following = document.between("part", mention.last, mention.last)
    reading = any(q.decimal for q in document.quantities_from(mention.last, 0))  # "seven batteries 6.3"
    return (
        bool(following)
        or reading
        or document.norm(mention.last) in ("tops", "top", "lids", "posts", "boxes", "trays", "cart", "carts")
    )


def _pronoun(document: Document, index: int) -> int:
    """ "six of em" or "three of them sealed", after batteries were spoken of."""
    of_them = document.norm(index) == "of" and document.norm(index + 1) in ("em", "them", "those")
    return index + 2 if of_them and _batteries_before(document, index) else 0


def _there_are(document: Document, quantity: Quantity) -> int:
    """ "there are twelve in there", "There are 3.", after batteries were spoken of."""
    last = quantity.last
    told = [document.norm(i) for i in (quantity.first - 2, quantity.first - 1)] == ["there", "are"]
    alone = last == len(document.tokens) or document.tokens[last].kind == "mark" or document.norm(last) == "in"
    return last if told and alone and _batteries_before(document, quantity.first, _SPOKEN_REACH) else 0


def _of_a_kind(document: Document, quantity: Quantity, trade: Trade) -> int:
    """ "three AGM", "4 gels"; "12 AGM" may be volts."""
    kinds = document.between("value", quantity.last, quantity.last)
    after = next((m.last for m in kinds if m.entry.key == "battery_chemistry"), 0)
    return 0 if quantity.value in trade.battery_voltages else after


def _pieces(document: Document, index: int) -> int:
    """ "battery: six pieces", "eight pieces", "six under the seat"."""
    if [document.norm(i) for i in range(index, index + 3)] == ["under", "the", "seat"]:
        return index
    return index + 1 if document.norm(index) in _PIECES and _batteries_before(document, index) else 0


def _batteries_before(document: Document, index: int, reach: int = _PRONOUN_REACH) -> bool:
    return any(m.entry.key in BATTERY_PARTS for m in document.before("part", index, reach))


def _all_read(document: Document, taken: set[int]) -> Iterator[Candidate]:
    """ "all four read 12.7"; "i count four", with batteries spoken of."""
    for quantity in document.quantities:
        free = _can_count(quantity) and quantity.value >= 3 and quantity.first not in taken
        before = document.norm(quantity.first - 1)
        read = before == "all" and document.norm(quantity.last) in _READ
        if free and (read or (before in ("count", "counted") and _batteries_before(document, quantity.first))):
            yield replace(_candidate(document, quantity, quantity.last), standing=Standing.STATED)


def _labelled(document: Document, taken: set[int]) -> Iterator[Candidate]:
    """ "Batteries: 6", "Battery: AGM, 4"."""
    for quantity in document.quantities:
        colon = _colon_before(document, quantity.first)
        if not _can_count(quantity) or quantity.first in taken or document.norm(colon) not in (":", "="):
            continue
        label = [m for m in document.before("part", colon + 1, 1) if m.entry.key in BATTERY_PARTS]
        ends = quantity.last == len(document.tokens) or not document.same_sentence(quantity.first, quantity.last)
        kind = any(m.entry.key == "battery_chemistry" for m in document.between("value", quantity.last, quantity.last))
        if label and (ends or kind or document.tokens[quantity.last].kind == "mark"):
            yield _candidate(document, quantity, quantity.last)


def _colon_before(document: Document, first: int) -> int:
    """Where a label would end: right before, or before the kind of "AGM, 4"."""
    kinds = document.before("value", first - 1, 0) if document.norm(first - 1) == "," else []
    return next((m.first - 1 for m in kinds if m.entry.key == "battery_chemistry"), first - 1)


def _ages(document: Document) -> Iterator[Candidate]:
    """ "batteries are 4 years old", "3 year old batteries"."""
    for quantity in document.quantities:
        if quantity.unit not in ("year", "month") or not _battery_in_clause(document, quantity.first):
            continue
        years = quantity.value if quantity.unit == "year" else quantity.value / 12
        basis = words_basis(document, quantity.first, quantity.last)
        yield Candidate("battery_age", plain(years), quantity.first, quantity.last, "year", basis=basis)


def _battery_in_clause(document: Document, index: int) -> bool:
    near = document.between("part", index - 15, index + 15)
    return any(m.entry.key in BATTERY_PARTS and document.same_clause(m.first, index) for m in near)

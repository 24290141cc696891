"""Voltages, batteries and chargers: the pack's, each battery's, the charger's, or a reading."""

from __future__ import annotations

from collections.abc import Iterator

from triage.facts.candidate import Candidate, plain, words_basis
from triage.facts.trade import BATTERY_PARTS, CHARGER_PARTS, Trade
from triage.language import Document
from triage.language.numbers import PLURALS, Quantity
from triage.model import Standing

_TIMES = frozenset({"x", "×", "*", "of"})
_BARE_BEFORE = frozenset(
    ("a an my its is the was to go from not sorry meant be on think or and mine actually wait got now").split()
)
_BARE_AFTER_NOT = frozenset(
    (
        "inch inches miles mile hours hour minutes days holes batteries battery year years old times people "
        "rounds amp amps percent degrees of psi mph x month months weeks seats seater wheels tires tyres in "
        "ft feet dollars pounds quid"
    ).split()
)
_PRONOUN_REACH = 20
_PARTIAL = frozenset(
    ("replaced replacing changed bought fitted new only about number battery no than or one another just these").split()
)
_OWNING = frozenset("has have with got all my the its takes uses runs using there are holds total of".split())


def find(document: Document, trade: Trade) -> Iterator[Candidate]:
    """Candidates for pack_voltage, battery_count, battery_voltage, charger_voltage and battery_age."""
    taken: set[int] = set()
    for candidate in _layouts(document, trade):
        taken.update(range(candidate.first, candidate.last))
        yield candidate
    yield from _voltages(document, trade, taken)
    yield from _bare_voltages(document, trade, taken)
    yield from _counts(document, taken)
    yield from _ages(document)


def _layouts(document: Document, trade: Trade) -> Iterator[Candidate]:
    """ "6x8", "six 8 volt batteries", "6-8v", "8 6volt", "four 12s": count times volts."""
    quantities = document.quantities
    for index, quantity in enumerate(quantities):
        if quantity.high is not None and quantity.unit == "V":
            pair: tuple[Quantity, Quantity] | None = _split_range(document, quantity, trade)
        else:
            following = quantities[index + 1] if index + 1 < len(quantities) else None
            pair = _pair(document, quantity, following, trade) if following else None
        if pair:
            count, each = pair
            first, last = min(count.first, each.first), max(count.last, _with_batteries(document, each.last))
            basis = words_basis(document, first, last)
            yield Candidate("battery_count", plain(count.value), first, last, basis=basis)
            yield Candidate("battery_voltage", plain(each.value), first, last, "V", basis=basis)


def _pair(document: Document, one: Quantity, two: Quantity, trade: Trade) -> tuple[Quantity, Quantity] | None:
    """(count, volts each), whichever was told first: "six 8 volt", "eight volt times six"."""
    if _is_layout(document, one, two, trade):
        return one, two
    between = [token.norm for token in document.tokens[one.last : two.first]]
    if between == ["times"] and one.unit == "V" and one.value * two.value in trade.pack_voltages:
        return two, one
    return None


def _split_range(document: Document, quantity: Quantity, trade: Trade) -> tuple[Quantity, Quantity] | None:
    """ "6-8v batteries" is six of eight volts when that makes a usual pack."""
    total = quantity.value * (quantity.high or 0)
    if (
        total not in trade.pack_voltages
        or quantity.high not in trade.battery_voltages
        or not _batteries_near(document, quantity.last)
    ):
        return None
    first = Quantity(quantity.value, "", quantity.first, quantity.first + 1)
    return first, Quantity(quantity.high or 0, "V", quantity.first + 1, quantity.last)


def _is_layout(document: Document, count: Quantity, each: Quantity, trade: Trade) -> bool:
    if count.unit or count.decimal or not 1 < count.value <= 24 or each.value not in trade.battery_voltages:
        return False
    if each.unit not in ("", "V") or each.decimal:
        return False
    between = [token.norm for token in document.tokens[count.last : each.first]]
    if "the" in between or "them" in between:
        # "two of the six volt batteries" counts a part of the set; "six of the 8 volt ones" makes a pack
        whole_set = count.value * each.value in trade.pack_voltages and count.value >= 3
        return whole_set and each.unit == "V" and "them" not in between
    if between[:1] and _battery_at(document, count.last) and between[1:] in (["of"], [], [","], ["at"]):
        return each.unit == "V"  # "six batteries of 8 volt"
    if len(between) > 3 or document.tokens[count.first].sentence != document.tokens[each.first].sentence:
        return False
    joined = bool(set(between) & _TIMES) and all(word in _TIMES or word == "-" for word in between)
    if joined:
        return (
            each.unit == "V" or _batteries_near(document, each.last) or count.value * each.value in trade.pack_voltages
        )
    plain_run = not between or between in (["-"], ["new"], ["deep", "cycle"], ["old"], ["good"])
    return (
        plain_run
        and (each.unit == "V" or _plural_number(document, each))
        and (_batteries_near(document, each.last) or count.value * each.value in trade.pack_voltages)
    )


def _battery_at(document: Document, index: int) -> bool:
    return any(mention.entry.key in BATTERY_PARTS and mention.first == index for mention in document.of_kind("part"))


def _plural_number(document: Document, quantity: Quantity) -> bool:
    """ "four 12s", "eight sixes"."""
    if document.tokens[quantity.first].norm in PLURALS:
        return True
    following = document.tokens[quantity.last : quantity.last + 1]
    return bool(following) and following[0].norm == "s"


def _batteries_near(document: Document, index: int) -> bool:
    return any(
        mention.entry.key in BATTERY_PARTS and index <= mention.first <= index + 3
        for mention in document.of_kind("part")
    )


def _with_batteries(document: Document, index: int) -> int:
    """Stretch the evidence over a directly following "batteries"."""
    for mention in document.of_kind("part"):
        if mention.entry.key in BATTERY_PARTS and index <= mention.first <= index + 1:
            return mention.last
    return index


def _voltages(document: Document, trade: Trade, taken: set[int]) -> Iterator[Candidate]:
    for quantity in document.quantities:
        if quantity.unit != "V" or quantity.first in taken or quantity.high is not None:
            continue
        name = _voltage_role(document, quantity, trade)
        if name:
            basis = words_basis(document, quantity.first, quantity.last)
            fixed = Standing.STATED if name == "pack_voltage" and _follows_name(document, quantity.first) else None
            yield Candidate(
                name, plain(quantity.value), quantity.first, quantity.last, "V", basis=basis, standing=fixed
            )


def _follows_name(document: Document, first: int) -> bool:
    """ "BRACKEN 36V STOCK CONTROLLER": a voltage right after the vehicle's name is the vehicle's."""
    return any(mention.last == first for mention in document.of_kind("name"))


def _voltage_role(document: Document, quantity: Quantity, trade: Trade) -> str:
    """Which closed fact a voltage is; "" for a reading or the rating of some part."""
    if quantity.value in trade.pack_voltages and _follows_name(document, quantity.first):
        return "pack_voltage"
    part = _part_after(document, quantity.last)
    if part in CHARGER_PARTS:
        return "charger_voltage"
    if part in BATTERY_PARTS and quantity.value in trade.battery_voltages:
        return "battery_voltage" if _is_plural(document, quantity.last) else ""
    if part and part not in BATTERY_PARTS and quantity.value not in trade.pack_voltages:
        return ""
    if part and part not in BATTERY_PARTS and _rates_part(document, quantity, part):
        return ""
    if quantity.decimal or is_reading(document, quantity.first):
        return ""
    if quantity.value in trade.pack_voltages:
        return "pack_voltage"
    return "battery_voltage" if quantity.value in trade.battery_voltages and _each(document, quantity.last) else ""


def _part_after(document: Document, index: int) -> str:
    """The part named right after, at most one word away."""
    for mention in document.of_kind("part"):
        if (
            index <= mention.first <= index + 1
            and document.tokens[mention.first].clause == document.tokens[index - 1].clause
        ):
            return mention.entry.key
    return ""


def _is_plural(document: Document, index: int) -> bool:
    """A single "12 volt battery" may be the accessory battery; several are the pack's."""
    words = [token.norm for token in document.tokens[index : index + 3]]
    return any(word.endswith("s") for word in words if word.startswith("bat"))


def _rates_part(document: Document, quantity: Quantity, part: str) -> bool:
    """ "a 48v solenoid" rates the solenoid; "my 48v solenoid" still tells the pack."""
    before = document.tokens[quantity.first - 1].norm if quantity.first else ""
    return before not in ("my", "our")


def _each(document: Document, index: int) -> bool:
    return any(token.norm in ("each", "apiece", "ones") for token in document.tokens[index : index + 2])


def is_reading(document: Document, first: int) -> bool:
    """A reading cue shortly before in the sentence."""
    sentence = document.tokens[first].sentence
    return any(
        0 <= first - cue.last <= 6 and document.tokens[cue.first].sentence == sentence
        for cue in document.scopes.cues("reading")
    )


def _bare_voltages(document: Document, trade: Trade, taken: set[int]) -> Iterator[Candidate]:
    """ "its a 48", "48 not 36": a usual pack voltage without its unit."""
    tokens = document.tokens
    for quantity in document.quantities:
        if quantity.unit or quantity.decimal or quantity.value not in trade.pack_voltages or quantity.first in taken:
            continue
        before = tokens[quantity.first - 1].norm if quantity.first else ""
        after = tokens[quantity.last].norm if quantity.last < len(tokens) else ""
        part = _part_after(document, quantity.last)
        fits = (
            before in _BARE_BEFORE
            and after not in _BARE_AFTER_NOT
            and tokens[quantity.first].text not in _year_texts(document)
        )
        if fits and not is_reading(document, quantity.first) and (not part or part in BATTERY_PARTS):
            basis = words_basis(document, quantity.first, quantity.last)
            yield Candidate("pack_voltage", plain(quantity.value), quantity.first, quantity.last, "V", basis=basis)


def _year_texts(document: Document) -> set[str]:
    return {token.text for token in document.tokens if token.kind == "year"}


def _counts(document: Document, taken: set[int]) -> Iterator[Candidate]:
    """ "it has 6 batteries", "three sealed batteries", "of the nine batteries"; not "replaced five batteries"."""
    tokens = document.tokens
    for quantity in document.quantities:
        if quantity.unit or quantity.decimal or not 1 < quantity.value <= 24 or quantity.first in taken:
            continue
        before = tokens[quantity.first - 1].norm if quantity.first else ""
        follows = _battery_within(document, quantity.last)
        if follows and (before in _OWNING or (quantity.value >= 3 and before not in _PARTIAL)):
            basis = words_basis(document, quantity.first, follows)
            yield Candidate("battery_count", plain(quantity.value), quantity.first, follows, basis=basis)


def _battery_within(document: Document, index: int) -> int:
    """The index after a battery word at most two words away in the same sentence; 0 when there is none."""
    between = {token.norm for token in document.tokens[index : index + 2]}
    if between & {
        "cap",
        "caps",
        "hole",
        "holes",
        "cell",
        "cells",
        "volt",
        "v",
        "amp",
        "hour",
        "year",
        "years",
        "month",
    }:
        return 0
    for mention in document.of_kind("part"):
        near = index <= mention.first <= index + 2
        if mention.entry.key in BATTERY_PARTS and near and _same_sentence(document, index - 1, mention.first):
            return mention.last
    return _pronoun(document, index)


def _pronoun(document: Document, index: int) -> int:
    """ "six of em" or "three of them sealed", after batteries were spoken of."""
    words = [token.norm for token in document.tokens[index : index + 2]]
    spoken = any(
        m.entry.key in BATTERY_PARTS and 0 < index - m.last <= _PRONOUN_REACH for m in document.of_kind("part")
    )
    return index + 2 if spoken and words[:1] == ["of"] and words[1:] in (["em"], ["them"]) else 0


def _same_sentence(document: Document, a: int, b: int) -> bool:
    return document.tokens[a].sentence == document.tokens[b].sentence


def _ages(document: Document) -> Iterator[Candidate]:
    """ "batteries are 4 years old", "3 year old batteries"."""
    for quantity in document.quantities:
        if quantity.unit not in ("year", "month") or not _battery_in_clause(document, quantity.first):
            continue
        years = quantity.value if quantity.unit == "year" else quantity.value / 12
        basis = words_basis(document, quantity.first, quantity.last)
        yield Candidate("battery_age", plain(years), quantity.first, quantity.last, "year", basis=basis)


def _battery_in_clause(document: Document, index: int) -> bool:
    clause = document.tokens[index].clause
    return any(
        mention.entry.key in BATTERY_PARTS and document.tokens[mention.first].clause == clause
        for mention in document.of_kind("part")
    )

"""How many batteries of how many volts: "6x8", "six 8 volt batteries", "8 V, six of them", "four 12s"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from triage.facts.candidate import Candidate, plain, words_basis
from triage.facts.trade import BATTERY_PARTS, Trade
from triage.language import Document
from triage.language.numbers import PLURALS
from triage.language.quantities import Quantity

_TIMES = frozenset({"x", "×", "*", "by", "times", "@"})
_JOINTS = _TIMES | frozenset(
    "of the them em those at with each piece pieces pcs pc units unit new old good deep cycle lead acid flooded "
    "wet sealed - , ( ) identical ordinary usual golf size sized are is these those big separate individual single "
    "little no . off qty".split()
)
_REACH = 5  # words between the count and the volts
_PART_OF_SET = frozenset({"of"})
MOST = 24  # batteries


def find(document: Document, trade: Trade) -> Iterator[Candidate]:
    """Candidates for battery_count with battery_voltage; told together they make a usual pack, or name batteries."""
    end = 0
    for count, each in _pairs(document, trade):
        first, last = min(count.first, each.first), max(count.last, after_batteries(document, each.last))
        if first < end:
            continue
        end = last
        basis = words_basis(document, first, last)
        yield Candidate("battery_count", plain(count.value), first, last, basis=basis)
        yield Candidate("battery_voltage", plain(each.value), first, last, "V", basis=basis)


def _pairs(document: Document, trade: Trade) -> Iterator[tuple[Quantity, Quantity]]:
    quantities = document.quantities
    for index, quantity in enumerate(quantities):
        split = _split_range(document, quantity, trade)
        following = quantities[index + 1] if index + 1 < len(quantities) else None
        if split:
            yield split
        elif following and (
            is_layout(document, quantity, following, trade) or _is_spread(document, quantity, following, trade)
        ):
            yield quantity, following
        elif following and _is_backwards(document, quantity, following, trade):
            yield following, quantity


def _split_range(document: Document, quantity: Quantity, trade: Trade) -> tuple[Quantity, Quantity] | None:
    """ "6-8v batteries" is six of eight volts when that makes a usual pack."""
    high = quantity.high or 0.0
    usual = quantity.value * high in trade.pack_voltages and high in trade.battery_voltages
    if quantity.unit != "V" or not usual or not batteries_near(document, quantity.last):
        return None
    first = Quantity(quantity.value, "", quantity.first, quantity.first + 1)
    return first, Quantity(high, "V", quantity.first + 1, quantity.last)


def is_layout(document: Document, count: Quantity, each: Quantity, trade: Trade) -> bool:
    """The count and then the volts of each."""
    if not _can_pair(document, count, each, trade):
        return False
    between = [token.norm for token in document.tokens[count.last : each.first]]
    pack = count.value * each.value in trade.pack_voltages
    words = [word for word in between if word not in _JOINTS]
    named = bool(words) and all(_battery_at(document, i) for i in _others(document, count.last, each.first))
    if (words and not named) or (_PART_OF_SET & set(between[:1]) and not (pack and count.value >= 3)):
        return False
    if _TIMES & set(between):
        return pack or each.unit == "V" or batteries_near(document, each.last)
    if "," in between and not (pack and (each.unit == "V" or _is_plural(document, each))):
        return False
    told = each.unit == "V" or _is_plural(document, each)
    return told and (pack or bool(named) or batteries_near(document, each.last))


def _is_spread(document: Document, count: Quantity, each: Quantity, trade: Trade) -> bool:
    """ "twelve batteries in a row, all 6 V": the same set, told in two goes."""
    usual = count.value * each.value in trade.pack_voltages and each.value in trade.battery_voltages
    plain_count = not count.unit and not count.decimal and count.high is None and 1 < count.value <= MOST
    if not usual or not plain_count or each.unit != "V" or not 0 < each.first - count.last <= 2 * _REACH:
        return False
    said = {document.norm(i) for i in range(each.first - 3, each.first)}
    every = bool(said & {"all", "each"}) or document.norm(each.last) in ("each", "apiece")
    return every and document.same_sentence(count.first, each.first) and batteries_near(document, count.last, 2)


def _is_backwards(document: Document, each: Quantity, count: Quantity, trade: Trade) -> bool:
    """The volts of each and then the count: "8 volt, six of them", "6v x 6", "8 V batteries, six"."""
    if each.unit != "V" or not _can_pair(document, count, each, trade):
        return False
    between = [token.norm for token in document.tokens[each.last : count.first]]
    others = _others(document, each.last, count.first)
    after = document.norm(count.last)
    counted = bool(_TIMES & set(between)) or after in ("of", "pieces", "pcs", "units", "batteries") or after in ".,);"
    usual = count.value * each.value in trade.pack_voltages
    return usual and counted and all(_battery_at(document, index) for index in others)


def _can_pair(document: Document, count: Quantity, each: Quantity, trade: Trade) -> bool:
    """A whole count without a unit, a usual battery voltage, close together in a sentence."""
    low, high = sorted((count, each), key=lambda q: q.first)
    if count.unit or count.decimal or count.high is not None or not 1 < count.value <= MOST:
        return False
    if each.unit not in ("", "V") or each.decimal or each.high is not None or each.value not in trade.battery_voltages:
        return False
    return high.first - low.last <= _REACH and document.same_sentence(low.first, high.first)


def _others(document: Document, first: int, last: int) -> Sequence[int]:
    """Places of words that are no joint."""
    return [index for index in range(first, last) if document.norm(index) not in _JOINTS]


def _battery_at(document: Document, index: int) -> bool:
    near = document.between("part", index - 2, index)
    return any(m.entry.key in BATTERY_PARTS and m.first <= index < m.last for m in near)


def _is_plural(document: Document, quantity: Quantity) -> bool:
    """ "four 12s", "eight sixes"."""
    return document.norm(quantity.first) in PLURALS or document.norm(quantity.last) == "s"


def batteries_near(document: Document, index: int, reach: int = 3) -> bool:
    """Batteries are named at most `reach` words after."""
    return any(m.entry.key in BATTERY_PARTS for m in document.between("part", index, index + reach))


def batteries_around(document: Document, index: int, reach: int = 8) -> bool:
    """Batteries are named near, before or after, in the sentence."""
    near = document.between("part", index - reach, index + reach)
    return any(m.entry.key in BATTERY_PARTS and document.same_sentence(m.first, index) for m in near)


def after_batteries(document: Document, index: int) -> int:
    """The index past a directly following "batteries"."""
    for mention in document.between("part", index, index + 1):
        if mention.entry.key in BATTERY_PARTS:
            return mention.last
    return index

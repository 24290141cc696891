"""Model years: 2009, '09, an 09, twenty twelve, the late 90s; not the year of buying, nor that of the batteries."""

from __future__ import annotations

from collections.abc import Iterator

from triage.facts import spoken_years
from triage.facts.candidate import Candidate
from triage.facts.names import VEHICLE_NOUNS
from triage.facts.spoken_years import COUNTED, year_candidate
from triage.facts.trade import BATTERY_PARTS, DETERMINERS, Trade
from triage.language import Document

_PURCHASE = frozenset("bought purchased got since acquired purchase".split())
_WORK = frozenset("replaced changed fitted installed swapped rebuilt serviced new put converted moved retired".split())
_PRONOUNS = frozenset("we i he she they my our it the someone".split())
_PAPERS = frozenset("order invoice bill receipt letter email mail photo video post catalogue catalog quote".split())
_BEFORE_SHORT = frozenset({"says", "reads", "said", "from", "year", "think", "about", "was"})
_RANGE_JOINTS = frozenset({"or", "-", "–", "/", "to", "until", "till", "through", "and"})
_BATTERY_YEAR_REACH = 6
_WORK_REACH = 5
_DESCRIBED = frozenset({"one", "cart", "kind", "model", "version"})  # "the sealed battery one from 2017"
_EVENT_REACH = 6
_SOLD_REACH = 9
_MAKING = frozenset(
    "made built manufactured produced registered delivered new constructed out was is cart model".split()
)


def find(document: Document, trade: Trade) -> Iterator[Candidate]:
    """Candidates named "year": a number, or a range "2005-2006" (hedged)."""
    yield from spoken_years.decades(document)
    for spoken in spoken_years.find(document, trade):
        if not _is_of_something_else(document, spoken.first):
            yield spoken
    end = 0
    for index in range(len(document.tokens)):
        year = year_at(document, trade, index) if index >= end else None
        if year and not _is_of_something_else(document, index):
            other, end = _year_range(document, trade, index, year)
            yield year_candidate(document, f"{year}-{other}" if other else year, index, end)


def _is_of_something_else(document: Document, index: int) -> bool:
    checks = (_is_purchase, _is_battery_year, _is_work_year, _is_event_year, _is_paper_year, _is_past_event)
    return any(check(document, index) for check in checks)


def _is_event_year(document: Document, index: int) -> bool:
    """ "In 2019 we moved house": something happened then."""
    opens = index == 1 or (index > 1 and not document.same_clause(index - 2, index - 1))
    return document.norm(index - 1) == "in" and opens and document.norm(index + 1) in _PRONOUNS


def _is_past_event(document: Document, index: int) -> bool:
    """ "who rolled one in 2016": in a year something happened, unless it is the year of making."""
    if document.norm(index - 1) != "in":
        return False
    window = {document.norm(i) for i in range(max(0, index - _EVENT_REACH), index) if document.same_sentence(i, index)}
    named = any(document.same_clause(m.first, index) for m in document.before("name", index - 1, _EVENT_REACH))
    return not (window & _MAKING or named)


def _is_paper_year(document: Document, index: int) -> bool:
    """ "my order from 2023", "$2000"."""
    paper = document.norm(index - 1) in ("from", "of", "dated") and document.norm(index - 2) in _PAPERS
    return paper or document.norm(index - 1) in ("$", "£", "€", "#")


def _is_battery_year(document: Document, index: int) -> bool:
    """ "batteries from 2021", "four are from 2021": the batteries' year, not the vehicle's."""
    if document.norm(index + 1) in VEHICLE_NOUNS or document.norm(index - 1) == "year":
        return False  # "2010 batteries in a 2006 cart", "year 2008 batteries 4"
    if document.before("name", index, 0):
        return False  # "NAME 2008 batteries flat"
    following = document.between("part", index + 1, index + 1)
    if any(m.entry.key in BATTERY_PARTS and document.same_sentence(m.first, index) for m in following):
        return True
    subject = [document.norm(i) for i in range(index - 2, index)] == ["are", "from"]
    near = document.before("part", index, _BATTERY_YEAR_REACH - 1)
    battery = any(
        m.entry.key in BATTERY_PARTS
        and document.same_sentence(m.first, index)
        and m.last < index
        and document.norm(m.last) not in _DESCRIBED
        for m in near
    )
    return subject or (battery and not _name_in_clause(document, index))


def _name_in_clause(document: Document, index: int) -> bool:
    return any(document.same_clause(m.first, index) for m in document.between("name", index - 12, index + 12))


def _is_work_year(document: Document, index: int) -> bool:
    """ "were replaced in 2023": when the work was done."""
    window = range(max(0, index - _WORK_REACH), index)
    if document.norm(index - 1) != "in" or any(document.norm(i) in _PURCHASE for i in window):
        return False
    return any(document.norm(i) in _WORK and document.same_sentence(i, index) for i in window)


def year_at(document: Document, trade: Trade, index: int) -> int | None:
    """The year a token stands for, in digits; None when it is none."""
    token = document.tokens[index]
    if token.kind == "year":
        return None if document.norm(index + 1) == "s" else _full_year(int(token.text[1:]), trade)
    if token.kind != "number" or not token.text.isdecimal() or _measured(document, index):
        return None
    if len(token.text) == 4 and trade.year_low <= int(token.text) <= trade.year_high:
        return int(token.text)
    if len(token.text) == 2 and _is_short_year(document, trade, index):
        return _full_year(int(token.text), trade)
    return None


def _full_year(short: int, trade: Trade) -> int | None:
    year = 2000 + short if 2000 + short <= trade.year_high else 1900 + short
    return year if trade.year_low <= year <= trade.year_high else None


def _is_short_year(document: Document, trade: Trade, index: int) -> bool:
    """Two digits right before a vehicle's name, or zero-led after a determiner or beside another year."""
    text, before = document.tokens[index].text, document.norm(index - 1)
    if before == "year" or (before in (":", "=") and document.norm(index - 2) == "year"):
        return True
    if document.between("name", index + 1, index + 1):
        return int(text) not in trade.pack_voltages or _full_year(int(text), trade) in range(2000, 2100)
    following = document.norm(index + 1)
    if any(mention.last == index for mention in document.before("name", index, 0)):
        counts = bool(document.quantities_from(index + 1, 0))  # "NAME 13 six batteries"
        return text.startswith("0") or following in ("", ".", ",", "?", "!", ";") or counts
    if text.startswith("0") and _after_volts(document, index):
        return True
    if text.startswith("9") and before in ("from", "a") and following not in COUNTED:
        return True
    introduced = before in DETERMINERS or before in _BEFORE_SHORT
    return text.startswith("0") and (introduced or _pairs_with_year(document, index))


def _after_volts(document: Document, index: int) -> bool:
    """ "NAME 36v 01": the volts and then the year."""
    volts = [q for q in document.quantities_from(index - 3, 2) if q.unit == "V" and q.last == index]
    return any(document.before("name", q.first, 0) or document.before("name", q.first + 1, 0) for q in volts)


def _pairs_with_year(document: Document, index: int) -> bool:
    """ "05 or 06"."""
    joined = document.norm(index + 1) in ("or", "/", "-")
    other = document.norm(index + 2)
    return joined and other.isdecimal() and len(other) == 2 and other.startswith(("0", "1"))


def _measured(document: Document, index: int) -> bool:
    """Part of a quantity with a unit ("2000 rpm") or of a price or part number."""
    around = document.quantities_from(index - 4, 4)
    return any(quantity.first <= index < quantity.last and quantity.unit for quantity in around)


def _is_purchase(document: Document, index: int) -> bool:
    """ "bought it in 2015": the year of buying says little about the year of making."""
    if document.norm(index - 1) in _PURCHASE - {"since"}:
        return True  # "bought 2019"
    if document.norm(index - 1) not in ("in", "back", "since", "until"):
        return False
    window = {document.norm(i) for i in range(max(0, index - 6), index)}
    if _is_sold(document, index):
        return True
    if "new" in window:
        return False
    return document.norm(index - 1) in ("since", "until") or bool(_PURCHASE & window)


def _is_sold(document: Document, index: int) -> bool:
    """ "you sold my brother his NAME in 2019": the year of selling."""
    window = range(max(0, index - _SOLD_REACH), index)
    return any(document.norm(i) == "sold" and document.same_sentence(i, index) for i in window)


def _year_range(document: Document, trade: Trade, index: int, year: int) -> tuple[int | None, int]:
    """The later year of "2005 or 2006", "05-08", "2005/6", "between 2015 and 2017"."""
    joint = document.norm(index + 1)
    second = index + 2 + (joint == "or" and document.norm(index + 2) in ("a", "an"))  # "a 2014 or a 15"
    if joint in _RANGE_JOINTS and (joint != "and" or _is_between(document, index)):
        later = _later_year(document, second, year, trade)
        if later:
            return later, second + 1
    return None, index + 1


def _is_between(document: Document, index: int) -> bool:
    return document.norm(index - 1) == "between"


def _later_year(document: Document, index: int, year: int, trade: Trade) -> int | None:
    if index >= len(document.tokens) or _measured(document, index):
        return None
    if document.norm(index + 1) == "of":
        return None  # "may 2014 or 5 of january"
    text = document.tokens[index].text.strip("'’‘`")
    if not text.isdecimal() or len(text) not in (1, 2, 4):
        return None
    full = int(str(year)[: 4 - len(text)] + text)
    return full if year < full <= trade.year_high else None

"""Model years: 2009, '09, an 09, twenty twelve, the late 90s; not the year of buying, nor that of the batteries."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.facts.candidate import Candidate, token_range, words_basis
from triage.facts.trade import BATTERY_PARTS, DETERMINERS, Trade
from triage.language import Document
from triage.language.numbers import spoken_year
from triage.model import Standing

_DECADE = re.compile(r"\b(early|mid|late)?[ -]?(?:the )?(?:(19|20)?['’]?(\d)0['’]?s)\b", re.IGNORECASE)
_COUNTED = frozenset("volt volts v amp amps rpm miles dollars pounds ohms batteries".split())
_PURCHASE = frozenset("bought purchased got since acquired purchase".split())
_BATTERY_YEAR_REACH = 6
_DECADE_PART = {"early": (0, 3), "mid": (4, 6), "late": (7, 9), "": (0, 9)}


def find(document: Document, trade: Trade) -> Iterator[Candidate]:
    """Candidates named "year": a number, or a range "2005-2006" (hedged)."""
    yield from _decades(document)
    yield from _spoken_years(document, trade)
    end = 0
    for index in range(len(document.tokens)):
        year = year_at(document, trade, index) if index >= end else None
        if year and not _is_purchase(document, index) and not _is_battery_year(document, index):
            other, end = _year_range(document, trade, index, year)
            value: int | str = f"{year}-{other}" if other else year
            standing = Standing.HEDGED if other else None
            yield Candidate("year", value, index, end, basis=words_basis(document, index, end), standing=standing)


def _spoken_years(document: Document, trade: Trade) -> Iterator[Candidate]:
    index = 0
    while index < len(document.tokens):
        spoken = spoken_year(document.tokens, index)
        if spoken and trade.year_low <= spoken[0] <= trade.year_high and not _counts_something(document, spoken[1]):
            yield Candidate("year", spoken[0], index, spoken[1], basis=words_basis(document, index, spoken[1]))
            index = spoken[1]
        else:
            index += 1


def _counts_something(document: Document, index: int) -> bool:
    """ "twenty twelve volt batteries" and "two thousand rpm" are no years."""
    following = document.tokens[index : index + 1]
    return bool(following) and following[0].norm in (
        "volt",
        "volts",
        "v",
        "amp",
        "amps",
        "rpm",
        "miles",
        "dollars",
        "pounds",
        "ohms",
        "batteries",
    )


def _is_battery_year(document: Document, index: int) -> bool:
    """ "batteries from 2021": the batteries' year, not the vehicle's."""
    clause = document.tokens[index].clause
    sentence = document.tokens[index].sentence
    return any(
        mention.entry.key in BATTERY_PARTS
        and document.tokens[mention.first].sentence == sentence
        and 0 < index - mention.last < _BATTERY_YEAR_REACH
        for mention in document.of_kind("part")
    ) and not any(document.tokens[m.first].clause == clause for m in document.of_kind("name"))


def year_at(document: Document, trade: Trade, index: int) -> int | None:
    """The year a token stands for, in digits; None when it is none."""
    token = document.tokens[index]
    if token.kind == "year":
        return _full_year(int(token.text[1:]), trade)
    if token.kind != "number" or not token.text.isdigit() or _measured(document, index):
        return None
    if len(token.text) == 4 and trade.year_low <= int(token.text) <= trade.year_high:
        return int(token.text)
    if len(token.text) == 2 and _is_short_year(document, index):
        return _full_year(int(token.text), trade)
    return None


def _full_year(short: int, trade: Trade) -> int | None:
    year = 2000 + short if 2000 + short <= trade.year_high else 1900 + short
    return year if trade.year_low <= year <= trade.year_high else None


def _is_short_year(document: Document, index: int) -> bool:
    """Two digits right before a vehicle's name, or zero-led after a determiner."""
    tokens = document.tokens
    names = document.of_kind("name")
    before = tokens[index - 1].norm if index else ""
    if any(mention.first == index + 1 for mention in names):
        return True
    if any(mention.last == index for mention in names):
        following = tokens[index + 1] if index + 1 < len(tokens) else None
        return tokens[index].text.startswith("0") or following is None or following.kind == "mark"
    return tokens[index].text.startswith("0") and (
        before in DETERMINERS or before in ("from", "year", "think", "about")
    )


def _measured(document: Document, index: int) -> bool:
    """Part of a quantity with a unit ("2000 rpm") or of a price or part number."""
    for quantity in document.quantities:
        if quantity.first <= index < quantity.last:
            return bool(quantity.unit)
    return False


def _is_purchase(document: Document, index: int) -> bool:
    """ "bought it in 2015": the year of buying says little about the year of making."""
    tokens = document.tokens
    if index == 0 or tokens[index - 1].norm not in ("in", "back", "since", "until"):
        return False
    window = [token.norm for token in tokens[max(0, index - 6) : index]]
    return tokens[index - 1].norm in ("since", "until") or bool(_PURCHASE & set(window))


def _year_range(document: Document, trade: Trade, index: int, year: int) -> tuple[int | None, int]:
    """The later year of "2005 or 2006", "05-08", "2005/6"."""
    tokens = document.tokens
    if index + 2 < len(tokens) and tokens[index + 1].norm in ("or", "-", "–", "/", "to", "until", "till"):
        later = tokens[index + 2]
        text = later.text.strip("'’‘`")
        if text.isdigit() and len(text) in (1, 2, 4):
            full = int(str(year)[: 4 - len(text)] + text)
            if year < full <= trade.year_high:
                return full, index + 3
    return None, index + 1


def _decades(document: Document) -> Iterator[Candidate]:
    for match in _DECADE.finditer(document.text):
        part, century, digit = (match[1] or "").lower(), match[2], int(match[3])
        decade = int(century or ("19" if digit >= 6 else "20")) * 100 + digit * 10
        first, last = token_range(document, match.start(), match.end())
        if last <= first or (not part and not century and decade < 1970):
            continue
        low, high = _DECADE_PART[part]
        basis = f"words: '{match[0].strip()}'"
        yield Candidate("year", f"{decade + low}-{decade + high}", first, last, basis=basis, standing=Standing.HEDGED)

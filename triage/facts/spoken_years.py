"""Years told in words: "twenty twelve", "two thousand nine or ten", "a ninety nine", "the late nineties"."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.facts.candidate import Candidate, words_basis
from triage.facts.trade import Trade
from triage.language import Document
from triage.language.numbers import below_hundred, spoken_year
from triage.model import Standing

_DECADE = re.compile(
    r"(?<![-/\d])\b(early|mid|late)?[ -]{0,2}(?:the )?"
    r"(?:(19|20)?['’]?(\d)0['’]?s|(nineties|eighties|seventies|sixties|two thousands|twenty tens|noughties))\b",
    re.IGNORECASE,
)
_DECADES = {
    "sixties": 1960,
    "seventies": 1970,
    "eighties": 1980,
    "nineties": 1990,
    "two thousands": 2000,
    "noughties": 2000,
}
_DECADES |= {"twenty tens": 2010}
_AGED = frozenset({"my", "his", "her", "our", "their"})  # "in my seventies"
_DIGITS = frozenset("oh zero one two three four five six seven eight nine".split())
_DECADE_PART = {"early": (0, 3), "mid": (4, 6), "late": (7, 9), "": (0, 9)}
COUNTED = frozenset(
    "volt volts v amp amps rpm miles mile dollars pounds quid ohms batteries battery mph percent inch inches in "
    "degrees minutes hours days weeks months years year people times psi x s kg lbs bucks euros".split()
)


def year_candidate(document: Document, value: int | str, first: int, last: int) -> Candidate:
    """A year, or a range of years, which is hedged."""
    standing = Standing.HEDGED if isinstance(value, str) else None
    return Candidate("year", value, first, last, basis=words_basis(document, first, last), standing=standing)


def find(document: Document, trade: Trade) -> Iterator[Candidate]:
    """Years in words, one after the other."""
    index = 0
    while index < len(document.tokens):
        spoken = spoken_year(document.tokens, index) or _short_spoken(document, index)
        usual = spoken is not None and trade.year_low <= spoken[0] <= trade.year_high
        if (
            spoken
            and usual
            and document.norm(spoken[1]) not in COUNTED
            and not _is_in_digits(document, index, spoken[1])
        ):
            later, end = _spoken_range(document, spoken)
            yield year_candidate(document, f"{spoken[0]}-{later}" if later else spoken[0], index, end)
            index = end
        else:
            index += 1


def _is_in_digits(document: Document, first: int, last: int) -> bool:
    """ "five five five oh one seven three": part of a number read out digit by digit."""
    around = (document.norm(first - 1), document.norm(first - 2), document.norm(last), document.norm(last + 1))
    digits = [word in _DIGITS for word in around]
    return all(digits[:2]) or all(digits[2:])


def _spoken_range(document: Document, spoken: tuple[int, int]) -> tuple[int, int]:
    """The later year of "two thousand nine or ten" and the index after it; 0 when there is none."""
    year, end = spoken
    tail = below_hundred([document.norm(i) for i in (end + 1, end + 2)]) if document.norm(end) == "or" else None
    later = year // 100 * 100 + tail[0] if tail else 0
    if tail and year < later <= year + 10 and document.norm(end + 1 + tail[1]) not in COUNTED:
        return later, end + 1 + tail[1]
    return 0, end


def _short_spoken(document: Document, index: int) -> tuple[int, int] | None:
    """ "a ninety nine", "from about ninety nine"; after a vehicle's name also "NAME lithium twenty two"."""
    if document.norm(index) not in ("ninety", "eighty", "twenty"):
        return None
    value = below_hundred([document.norm(i) for i in (index, index + 1)])
    if value is None or value[1] != 2:
        return None
    named = document.norm(index - 1) in ("a", "an", "from", "about", "around") or _after_name(document, index)
    named = named or bool(document.between("name", index + 2, index + 2))
    if value[0] >= 80:
        return (1900 + value[0], index + 2) if named else None
    shown = _after_name(document, index) or (document.norm(index - 1) == "a" and bool(_names_near(document, index)))
    return (2000 + value[0], index + 2) if shown else None


def _after_name(document: Document, index: int) -> bool:
    """Right after a vehicle's name, or a name and its kind ("NAME lithium")."""
    if any(mention.last == index for mention in document.before("name", index, 0)):
        return True
    kinds = document.before("value", index, 0)
    return any(document.before("name", mention.first, 0) for mention in kinds)


def _names_near(document: Document, index: int) -> bool:
    return bool(document.before("name", index, 12))


def decades(document: Document) -> Iterator[Candidate]:
    """Decades and their parts, as hedged ranges: "late 90s" is 1997 to 1999."""
    for match in _DECADE.finditer(document.text):
        low, high = _DECADE_PART[(match[1] or "").lower()]
        decade = _decade_of(match)
        first, last = document.token_range(match.start(), match.end())
        bare = not (match[1] or match[2] or match[4])
        if last <= first or (bare and decade < 1970) or document.norm(first - 1) in _AGED:
            continue
        basis = f"words: '{match[0].strip()}'"
        yield Candidate("year", f"{decade + low}-{decade + high}", first, last, basis=basis, standing=Standing.HEDGED)


def _decade_of(match: re.Match[str]) -> int:
    if match[4]:
        return _DECADES[match[4].lower()]
    digit = int(match[3])
    return int(match[2] or ("19" if digit >= 6 else "20")) * 100 + digit * 10

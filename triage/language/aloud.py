"""A text as it is read out: numbers, units, sizes, years, fractions and part codes in words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache

from triage.language.numbers_aloud import each, fraction, number, short_year, size, whole, year
from triage.pack.schema import SpokenForm

Forms = Mapping[str, SpokenForm]
Rule = tuple[re.Pattern[str], Callable[[re.Match[str]], str]]

YEARS = range(1950, 2050)
MOST_ROUNDS = 8
# words after which a unit is a measure ("48 volts at rest"); before any other it describes ("48 volt pack")
_NOT_DESCRIBED = frozenset(
    "a across adrift after against an and apart are as at away back before behind between but by deep does each "
    "either else for from full has have high higher hold holds if in into is it less long low lower may means "
    "more now of off on once or over per plus reads so than that the then there thick to tall under until up wide "
    "when where which while will with without you your".split()
)
_NUM = r"\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:\.\d+)?"
_BRACKETS = re.compile(r" ?\(([^()]*)\)")
_MARKS = re.compile(r"[*_`#]|^\s*[-•] ", re.MULTILINE)
_READINGS = re.compile(r"(?<=\d) (?=\d+\.\d)")  # "6.3 6.3 6.2": one after the other


def spoken(text: str, forms: Forms) -> str:
    """The text in words to be said, by the pack's spoken units and short forms. Saying it twice changes nothing.

    >>> from triage.pack.schema import SpokenForm
    >>> spoken("The 36 V pack of '09 takes 18x8.50-8.", {"v": SpokenForm("v", "unit", ["V"], "volt", "volts")})
    'The thirty-six volt pack of oh nine takes eighteen by eight and a half by eight.'
    """
    rules = _rules(tuple(forms.values()))
    for _ in range(MOST_ROUNDS):  # what one rule leaves may be read by another: "<<0"
        before, text = text, _once(text, rules)
        if text == before:
            break
    return text


def _once(text: str, rules: Iterable[Rule]) -> str:
    text = _plain(text)
    for pattern, said in rules:
        text = pattern.sub(said, text)
    return re.sub(r" +", " ", text).strip()


def _plain(text: str) -> str:
    """Without brackets and marks that nobody says."""
    text = _BRACKETS.sub(lambda found: f", {found[1].rstrip('.')},", text)
    text = re.sub(r",\s*(?=[,.;:?!])", "", _MARKS.sub("", text))
    text = re.sub(r"[“”]|(?<!\d)\"", "", text)  # not the inches of 22"
    return _READINGS.sub(", ", text)


@lru_cache(maxsize=8)
def _rules_of(writes: tuple[tuple[str, str, str, str], ...]) -> tuple[Rule, ...]:
    units = {name: (one, many or one) for kind, name, one, many in writes if kind == "unit"}
    words = {name: one for kind, name, one, _ in writes if kind == "word"}
    return (*_words(words), *_SIZES, *_fractions(units), *_ranges(units), _unit_rule(units), *_NUMBERS, *_CODES)


def _rules(forms: Iterable[SpokenForm]) -> tuple[Rule, ...]:
    return _rules_of(tuple((form.kind, name, form.says, form.many) for form in forms for name in form.writes))


def _any(names: Iterable[str]) -> str:
    return "|".join(sorted(map(re.escape, names), key=len, reverse=True)) or r"(?!)"


def _words(words: Mapping[str, str]) -> tuple[Rule, ...]:
    pattern = re.compile(rf"(?<![\w+-])({_any(words)})(?![\w+]|-\w)")
    return ((pattern, lambda found: words[found[1]]),)


# Sizes, clock times and ratios


def _tyre(found: re.Match[str]) -> str:
    return " by ".join(map(size, found.groups()))


def _metric_tyre(found: re.Match[str]) -> str:
    return ", ".join(map(number, found.groups()))


_N = r"(\d+(?:\.\d+)?)"
_SIZES: tuple[Rule, ...] = (
    (re.compile(rf"(?<![\w.]){_N} ?[x×] ?{_N} ?- ?{_N}(?![\w/])"), _tyre),  # 18x8.50-8
    (re.compile(r"(?<!\d)(\d{3})/(\d{2})[-R](\d{2})(?!\d)"), _metric_tyre),  # 205/50-10
    (re.compile(rf"\bM(\d+) ?[x×] ?{_N}"), lambda found: f"M {whole(int(found[1]))} by {number(found[2])}"),
    (re.compile(r"(?<![\d.])(\d+) ?[x×] ?(?=\d+(?:\.\d+)? ?V\b)"), lambda found: f"{whole(int(found[1]))} "),  # 6 x 8 V
    (re.compile(rf"(?<![\w.]){_N} ?[x×] ?(?=\d)"), lambda found: f"{size(found[1])} by "),
    (re.compile(rf"{_N} ?: ?1\b"), lambda found: f"{number(found[1])} to one"),  # 12.44:1
    (re.compile(r"\b([01]?\d|2[0-3]):([0-5]\d)\b"), lambda found: f"{whole(int(found[1]))} {_minutes(found[2])}"),
)


def _minutes(two: str) -> str:
    return "o'clock" if two == "00" else short_year(two)


# Fractions


def _fractions(units: Mapping[str, tuple[str, str]]) -> tuple[Rule, ...]:
    unit = rf"(?:[ -]?(?P<unit>{_any(units)})(?!\w)(?= (?P<next>[a-z]+))?)?"

    def part(found: re.Match[str]) -> str:
        said = fraction(int(found["top"]), int(found["bottom"]))
        one, many = units.get(found["unit"] or "", ("", ""))
        if found["whole"]:
            return f"{whole(int(found['whole']))} and {'a half' if said == 'half' else said} {many}".rstrip()
        if not one:
            return "a half" if said == "half" else said
        if _describes(found["next"]):
            return f"{said.removeprefix('a ')} {one}"
        article = "an" if one[0] in "aeiou" or one == "hour" else "a"
        return f"{said} {article} {one}" if said == "half" else f"{said} of {article} {one}"

    def thread(found: re.Match[str]) -> str:
        said = fraction(int(found[1]), int(found[2]))
        return f"{said.removeprefix('a ')} inch, {whole(int(found[3]))}"

    return (
        (re.compile(r"(?<![\w./-])(\d{1,2})/(\d{1,2}) ?[-x×] ?(\d{1,2})(?![\w/])"), thread),  # 1/2-20
        (
            re.compile(rf"(?<![\w./])(?:(?P<whole>\d+)[- ])?(?P<top>\d{{1,2}})/(?P<bottom>\d{{1,2}})(?![\d/]){unit}"),
            part,
        ),
    )


# Ranges and units


def _ranges(units: Mapping[str, tuple[str, str]]) -> tuple[Rule, ...]:
    """ "50-85 lb-ft" and "2004-2010": from one to the other; both ends and the unit once."""
    del units
    return (
        (re.compile(r"(?<![\w/.-])((?:19[5-9]|20[0-4])\d) ?[-–] ?((?:19[5-9]|20[0-4])\d)(?![\w-])"), _years),
        (re.compile(rf"(?<![\w/.-])({_NUM}) ?[-–] ?(?=(?:{_NUM})(?![-–/]\d))"), lambda found: f"{found[1]} to "),
        (re.compile(r"(?<![\w.])(\d+)k ?[-–] ?0(?!\w)"), lambda found: f"{found[1]} k to 0"),  # a pedal sensor's
        (re.compile(r"(?<![\w/)-])[-−](?=\d)"), lambda found: "minus "),
        (re.compile(r"[±]|\+/-"), lambda found: "plus or minus "),
    )


def _years(found: re.Match[str]) -> str:
    return f"{year(int(found[1]))} to {year(int(found[2]))}"


def _describes(following: str | None) -> bool:
    return following is not None and following.lower() not in _NOT_DESCRIBED


def _unit_rule(units: Mapping[str, tuple[str, str]]) -> Rule:
    pattern = re.compile(
        rf"(?<![\w.])(?:(?P<before>[a-z]+) )?(?<![\w.])(?:(?P<low>{_NUM}) to )?(?P<number>{_NUM})[ -]?"
        rf"(?P<unit>{_any(units)})(?![\w/·]|-\w)(?= (?P<next>[A-Za-z]+))?"
    )

    def said(found: re.Match[str]) -> str:
        one, many = units[found["unit"]]
        if found["unit"] == "in" and found["next"] in _NOT_INCHES:
            return found[0]
        alone = found["next"] is None and found["before"] in ("a", "an")  # at the end of a line
        describes = _describes(found["next"]) or alone or found["before"] in _COUNTS
        low = f"{number(found['low'])} to " if found["low"] else ""
        name = one if describes or found["number"] == "1" else many
        before = f"{found['before']} " if found["before"] else ""
        return f"{before}{low}{number(found['number'])} {name}"

    return pattern, said


_COUNTS = frozenset("two three four five six seven eight ten twelve sixteen".split())  # "six 8 V" are batteries
_NOT_INCHES = frozenset(
    "the a my this that total all series each our their your parallel every some which what use it".split()
)


# Numbers that are left, and codes


def _short(found: re.Match[str]) -> str:
    return short_year(found[1])


def _left(found: re.Match[str]) -> str:
    digits = found[0]
    if len(digits) == 4 and digits.isdigit() and int(digits) in YEARS:
        return year(int(digits))
    return each(digits) if digits[0] == "0" and digits.isdigit() and len(digits) > 1 else number(digits)


_NUMBERS: tuple[Rule, ...] = (
    (re.compile(r"(?<![\w.])(\d+)-(?=[a-z]{3})"), lambda found: f"{number(found[1])} "),  # the 20-hour rate
    (re.compile(r"(?<!\w)['’](\d\d)(?!\w)"), _short),
    (re.compile(rf"(?<![\w.,/-])(?:{_NUM})(?![\w/]|[.,]\d|-\w)"), _left),
    (re.compile(r" ?& ?"), lambda found: " and "),
    (re.compile(r"(?:≤|<=)+ ?(?=\w)"), lambda found: "at most "),
    (re.compile(r"(?:≥|>=)+ ?(?=\w)"), lambda found: "at least "),
    (re.compile(r" ?= ?"), lambda found: " is "),
    (re.compile(r"<+ ?(?=\w)"), lambda found: "less than "),
    (re.compile(r">+ ?(?=\w)"), lambda found: "more than "),
    (re.compile(r"[~≈]+ ?(?=\w)"), lambda found: "about "),
    (re.compile(r"(?<=\w)\++(?!\w)"), lambda found: " plus"),
)


def _code(found: re.Match[str]) -> str:
    """ "T-105" letter by letter, its figures in pairs or one by one."""
    parts = re.findall(r"[^\W\d_]|\d+", found[0])
    return " ".join(_figures(part) if part[0].isdigit() else part.upper() for part in parts)


def _figures(digits: str) -> str:
    return whole(int(digits)) if len(digits) < 3 and digits[0] != "0" else each(digits)


def _ordinal(found: re.Match[str]) -> str:
    before, dash, last = whole(int(found[1])).rpartition("-")
    return f"{before}{dash}{_ORDINALS.get(last, last + 'th')}"


_ORDINALS = dict(
    zip(
        "one two three five eight nine twelve twenty thirty".split(),
        "first second third fifth eighth ninth twelfth twentieth thirtieth".split(),
        strict=True,
    )
)
_CODES: tuple[Rule, ...] = (
    (re.compile(r"(?<![\w.])(\d{1,2})(?:st|nd|rd|th)\b"), _ordinal),
    (re.compile(r"(?<![\w.])(?=[\w./-]*\d)(?=[\w./-]*[A-Za-z])[A-Za-z\d]+(?:[-/.][A-Za-z\d]+)*"), _code),
    (re.compile(r"(?<![\w-])[A-Z]{2,5}(?![\w-]*[a-z])(?!\w)"), lambda found: " ".join(found[0])),
    (re.compile(r"\d+(?:\.\d+)?"), lambda found: f" {number(found[0])} "),
    (re.compile(r'"'), lambda found: ""),
    (re.compile(r"(?<=\w) */ *(?=\w)"), lambda found: " or "),
)

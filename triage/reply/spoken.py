"""A text as it is said: numbers and units in words, no brackets, no marks."""

from __future__ import annotations

import re

_ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
    "seventeen eighteen nineteen"
).split()
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()
_UNITS = {
    "V": "volt",
    "A": "amp",
    "Ah": "amp-hour",
    "kWh": "kilowatt-hour",
    "Wh": "watt-hour",
    "W": "watt",
    "mm": "millimetre",
    "cm": "centimetre",
    "kg": "kilo",
    "lb": "pound",
    "mph": "mile an hour",
    "km/h": "kilometre an hour",
    "psi": "pound a square inch",
    "°C": "degree Celsius",
    "°F": "degree Fahrenheit",
    "%": "per cent",
}
_PLURALS = {"mile an hour": "miles an hour", "kilometre an hour": "kilometres an hour", "per cent": "per cent"} | {
    f"degree {scale}": f"degrees {scale}" for scale in ("Celsius", "Fahrenheit")
}
_PLURALS["pound a square inch"] = "pounds a square inch"
_UNIT = re.compile(
    rf"(?P<number>\d+(?:\.\d+)?) ?(?P<unit>{'|'.join(sorted(map(re.escape, _UNITS), key=len, reverse=True))})"
    r"(?![\w/])(?= (?P<next>[a-z]+))?"
)
# words after which a unit is still a measure ("48 volts at rest"); before any other it describes ("48 volt pack")
_NOT_DESCRIBED = frozenset(
    "a across adrift after an and apart are as at before between but by each for from higher hold holds if in is low "
    "lower may means more now of on or over per reads so than that the "
    "then there to under until when while will with".split()
)
_NUMBER = re.compile(r"(?<![\w.,/-])\d+(?:\.\d+)?(?![\w/]|[.,]\d)")
_EACH = re.compile(r"(?<=\d) ?[x×] ?(?=\d+(?:\.\d+)? ?V\b)")  # "6 x 8 V batteries": six of them
_SIZE = re.compile(r"(?<=\d) ?[x×] ?(?=\d)")
_TYRE = re.compile(r"(\d+) ?[x×] ?(\d+(?:\.\d+)?)-(\d+)|(\d{3})/(\d{2})-(\d{2})")  # "18x8.50-8", "205/50-10"
_RANGE = re.compile(r"(?<![/\d.])(\d+(?:\.\d+)?) ?[-–] ?(?=\d)")  # not the thread "1/2-20"
_BRACKETS = re.compile(r" ?\(([^()]*)\)")


def spoken(text: str) -> str:
    """The text as it is read out.

    >>> spoken("A full 48 V pack rests at 50.6 V (six 8 V batteries).")
    'A full forty-eight volt pack rests at fifty point six volts, six eight volt batteries.'
    """
    text = _BRACKETS.sub(lambda found: f", {found[1].rstrip('.')},", text)
    text = re.sub(r",(?=[,.;:?!])|[*_`]|^- ", "", text)
    text = re.sub(r"(?<![\w/)-])-(?=\d)", "minus ", text)
    text = _TYRE.sub(_tyre, _EACH.sub(" ", text))
    text = _RANGE.sub(r"\1 to ", _SIZE.sub(" by ", text))
    text = _UNIT.sub(_unit, text)
    return _NUMBER.sub(lambda found: number(found[0]), text).strip()


def _tyre(found: re.Match[str]) -> str:
    width, height, rim, *metric = found.groups()
    return ", ".join(metric) if metric[0] else f"{width} by {height}, {rim}"


def _unit(found: re.Match[str]) -> str:
    unit = _UNITS[found["unit"]]
    describes = found["next"] is not None and found["next"] not in _NOT_DESCRIBED
    if describes or found["number"] == "1":
        return f"{found['number']} {unit}"
    return f"{found['number']} {_PLURALS.get(unit, unit + 's')}"


def number(digits: str) -> str:
    """A number in words up to 999; longer ones, and years, stay as they are.

    >>> number("275"), number("1.28"), number("2009")
    ('two hundred and seventy-five', 'one point two eight', '2009')
    """
    whole, _, decimals = digits.partition(".")
    if len(whole) > 3:
        return digits
    words, decimals = _whole(int(whole)), decimals.strip("0") and decimals
    return f"{words} point {' '.join(_ONES[int(digit)] for digit in decimals)}" if decimals else words


def _whole(value: int) -> str:
    if value < 20:
        return _ONES[value]
    if value < 100:
        tens, ones = divmod(value, 10)
        return _TENS[tens - 2] + (f"-{_ONES[ones]}" if ones else "")
    hundreds, rest = divmod(value, 100)
    return f"{_ONES[hundreds]} hundred" + (f" and {_whole(rest)}" if rest else "")

"""Numbers as they are said: whole, with a point, as a year, as a fraction."""

from __future__ import annotations

_ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
    "seventeen eighteen nineteen"
).split()
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()
_PARTS = {
    2: "half",
    3: "third",
    4: "quarter",
    5: "fifth",
    8: "eighth",
    16: "sixteenth",
    32: "thirty-second",
    64: "sixty-fourth",
}
_ENDINGS = {"50": "and a half", "5": "and a half", "25": "and a quarter", "75": "and three quarters"}
SCALES = ((1_000_000_000, "billion"), (1_000_000, "million"), (1000, "thousand"))


def whole(value: int) -> str:
    """A whole number in words, British use: "two hundred and five".

    >>> whole(1205), whole(2000), whole(36)
    ('one thousand two hundred and five', 'two thousand', 'thirty-six')
    """
    if value < 20:
        return _ONES[value]
    if value < 100:
        tens, ones = divmod(value, 10)
        return _TENS[tens - 2] + (f"-{_ONES[ones]}" if ones else "")
    if value < 1000:
        hundreds, rest = divmod(value, 100)
        return f"{_ONES[hundreds]} hundred" + (f" and {whole(rest)}" if rest else "")
    size, name = next((size, name) for size, name in SCALES if value >= size)
    above, rest = divmod(value, size)
    joint = " and " if 0 < rest < 100 else " "
    return f"{whole(above)} {name}" + (f"{joint}{whole(rest)}" if rest else "")


def number(digits: str) -> str:
    """Digits with at most one point in words; a number of more than twelve digits is said digit by digit.

    >>> number("6.37"), number("0.8"), number("1.50"), number("38.0")
    ('six point three seven', 'nought point eight', 'one point five nought', 'thirty-eight')
    """
    before, point, after = digits.replace(",", "").partition(".")
    if len(before) > 12:
        return each(before + after)
    said = whole(int(before or "0"))
    if not point or not after.strip("0"):
        return said
    said = "nought" if said == "zero" else said
    return f"{said} point {' '.join('nought' if digit == '0' else _ONES[int(digit)] for digit in after)}"


def each(digits: str) -> str:
    """One digit after the other: "one oh five".

    >>> each("105")
    'one oh five'
    """
    return " ".join("oh" if digit == "0" else _ONES[int(digit)] for digit in digits)


def year(value: int) -> str:
    """A year.

    >>> year(2009), year(2014), year(1998), year(2000), year(1905)
    ('two thousand and nine', 'twenty fourteen', 'nineteen ninety-eight', 'two thousand', 'nineteen oh five')
    """
    century, rest = divmod(value, 100)
    if century == 20 and rest < 10:
        return whole(value)
    if not rest:
        return f"{whole(century)} hundred"
    return f"{whole(century)} {'oh ' if rest < 10 else ''}{whole(rest)}"


def short_year(two: str) -> str:
    """The two digits of '09.

    >>> short_year("09"), short_year("14"), short_year("00")
    ('oh nine', 'fourteen', 'two thousand')
    """
    return "two thousand" if two == "00" else f"{'oh ' if two[0] == '0' else ''}{whole(int(two))}"


def fraction(top: int, bottom: int) -> str:
    """A fraction as a part of something: "three eighths"; without words of its own, "three over seven".

    >>> fraction(1, 2), fraction(7, 16), fraction(1, 4), fraction(3, 7)
    ('half', 'seven sixteenths', 'a quarter', 'three over seven')
    """
    name = _PARTS.get(bottom)
    if not name:
        return f"{whole(top)} over {whole(bottom)}"
    if top == 1:
        return "half" if bottom == 2 else f"{'an' if name[0] in 'ae' else 'a'} {name}"
    return f"{whole(top)} {name}s"


def size(digits: str) -> str:
    """A measure of a tyre or wheel: halves and quarters are said as such.

    >>> size("8.50"), size("18"), size("10.25"), size("20.8")
    ('eight and a half', 'eighteen', 'ten and a quarter', 'twenty point eight')
    """
    before, _, after = digits.partition(".")
    if after in _ENDINGS:
        return f"{whole(int(before))} {_ENDINGS[after]}"
    return number(digits) if after.strip("0") else whole(int(before))

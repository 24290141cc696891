"""Numbers as people write them: figures, fractions, "thirty six", "six and a half", "thirty eight point two"."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from triage.language.tokens import Token

_ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
    "seventeen eighteen nineteen"
).split()
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70}
_TENS |= {"eighty": 80, "ninety": 90}
PLURALS: Mapping[str, int] = {"fours": 4, "sixes": 6, "eights": 8, "twelves": 12}  # "eight sixes"
_ONES_PLURAL = {"ones": 1, "twos": 2, "threes": 3, "fours": 4, "fives": 5, "sixes": 6, "sevens": 7, "eights": 8}
_ONES_PLURAL |= {"nines": 9}  # only after a ten: "twenty threes"
WORD_VALUES: Mapping[str, int] = {
    **{word: value for value, word in enumerate(_ONES)},
    **_TENS,
    **PLURALS,
    "nought": 0,
    "naught": 0,
}
_DIGITS = {word: value for value, word in enumerate(_ONES[:10])} | {"oh": 0, "o": 0, "nought": 0, "naught": 0}
_SCALES = {"hundred": 100, "thousand": 1000, "million": 1_000_000, "dozen": 12, "dozens": 12, "grand": 1000}
_PARTS = {"half": 2, "halves": 2, "third": 3, "thirds": 3, "quarter": 4, "quarters": 4, "fourth": 4, "fourths": 4}
_PARTS |= {"fifth": 5, "fifths": 5, "eighth": 8, "eighths": 8, "sixteenth": 16, "sixteenths": 16, "tenths": 10}
_VULGAR = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}
_DENOMINATORS = frozenset({"2", "3", "4", "5", "8", "10", "16", "32", "64"})
_MOST_WORDS = 24


@dataclass(frozen=True, slots=True)
class Number:
    """A number at tokens first..last (half open)."""

    value: float
    first: int
    last: int
    decimal: bool = False


def find_numbers(tokens: Sequence[Token]) -> Iterator[Number]:
    """Numbers in order: digits, fractions, mixed numbers and number words."""
    index = 0
    while index < len(tokens):
        number = number_at(tokens, index)
        if number:
            yield number
            index = number.last
        else:
            index += 1


def number_at(tokens: Sequence[Token], index: int) -> Number | None:
    """The number that starts at a token, or None."""
    token = tokens[index]
    if token.text in _VULGAR:
        return Number(_VULGAR[token.text], index, index + 1, True)
    if token.kind == "number":
        return _written(tokens, index)
    return _spoken(tokens, index) if token.kind == "word" else None


def _written(tokens: Sequence[Token], index: int) -> Number:
    fraction = _fraction(tokens, index)
    if fraction:
        return Number(fraction, index, index + 3, True)
    value, decimal = to_float(tokens[index].text)
    following = tokens[index + 1] if index + 1 < len(tokens) else None
    if following and following.text in _VULGAR and not decimal:
        return Number(value + _VULGAR[following.text], index, index + 2, True)
    tail = _fraction(tokens, index + 1) if following and following.kind == "number" else None
    if tail and not decimal:
        return Number(value + tail, index, index + 4, True)
    after_and = _fraction(tokens, index + 2) if following and following.norm == "and" else None
    if after_and and not decimal:
        return Number(value + after_and, index, index + 5, True)
    half = [token.norm for token in tokens[index + 1 : index + 4]] == ["and", "a", "half"]
    if half and not decimal:
        return Number(value + 0.5, index, index + 4, True)
    if following and following.norm in _SCALES and following.kind == "word":
        return Number(value * _SCALES[following.norm], index, index + 2)
    return Number(value, index, index + 1, decimal)


def _fraction(tokens: Sequence[Token], index: int) -> float | None:
    """1/2, 3/8 ... proper fractions with a usual denominator, written without spaces."""
    if index + 2 >= len(tokens) or tokens[index + 1].text != "/" or tokens[index + 2].kind != "number":
        return None
    above, below = tokens[index].text, tokens[index + 2].text
    if tokens[index].end != tokens[index + 2].start - 1 or below not in _DENOMINATORS:
        return None
    return int(above) / int(below) if above.isdecimal() and 0 < int(above[:4]) < int(below) else None


def to_float(text: str) -> tuple[float, bool]:
    """Value of a written number and whether it has a fraction part; a lone comma before 1-2 digits is decimal."""
    if "," in text:
        head, _, tail = text.rpartition(",")
        if len(tail) == 3:
            return float(text.replace(",", "")), False
        return float(f"{head.replace(',', '')}.{tail}"), True
    return float(text), "." in text


def _spoken(tokens: Sequence[Token], index: int) -> Number | None:
    words = [token.norm for token in tokens[index : index + _MOST_WORDS]]
    if words[0] not in WORD_VALUES and words[0] not in ("a", "half", "quarter", "hundred", "dozen", "quarters"):
        return None
    part = _part_of_one(words)
    if part:
        return Number(part[0], index, index + part[1], not float(part[0]).is_integer())
    whole = _whole(words)
    if whole is None:
        return None
    value, length = whole
    tail, more = _decimals(words[length:])
    return Number(value + tail, index, index + length + more, more > 0)


def _part_of_one(words: Sequence[str]) -> tuple[float, int] | None:
    """ "half", "half a", "three quarters", "five eighths", and the words it takes; "half a dozen" is six."""
    if words[0] in ("half", "quarter"):
        article = 1 if words[1:2] in (["a"], ["an"]) else 0
        if words[1 + article : 2 + article] == ["dozen"]:
            return 12 / _PARTS[words[0]], 2 + article
        return 1 / _PARTS[words[0]], 1 + article
    count = 1 if words[0] == "a" else WORD_VALUES.get(words[0], 0)
    parts = _PARTS.get(words[1]) if len(words) > 1 else None
    proper = parts and 0 < count < parts and (count == 1 or words[1].endswith(("s", "quarter")))
    return (count / parts, 2) if parts and proper else None


def _whole(words: Sequence[str]) -> tuple[float, int] | None:
    """Value of "six", "thirty six", "four hundred and fifty", "two thousand", and how many words it takes."""
    total, index = 0.0, 0
    while index < len(words):
        skip = 1 if index and words[index] == "and" and total >= 100 else 0
        step = _below_thousand(words[index + skip :])
        if step is None or (index and not _continues(total, step[0])):
            break
        total, index = total + step[0], index + skip + step[1]
        if total < 100:
            break
    return (total, index) if index else None


def _continues(total: float, step: float) -> bool:
    """A smaller scale follows a larger: "two thousand" and then "three hundred"."""
    return (total % 1000 == 0 and step < 1000) or (total % 100 == 0 and step < 100)


def _below_thousand(words: Sequence[str]) -> tuple[float, int] | None:
    small = below_hundred(words)
    if small is None and words[:1] == ["a"] and words[1:2] and words[1] in _SCALES:
        small = (1, 1)
    if small is None and words[:1] in (["hundred"], ["dozen"]):
        return _SCALES[words[0]], 1
    if small is None:
        return None
    value, length = float(small[0]), small[1]
    while length < len(words) and words[length] in _SCALES:
        value, length = value * _SCALES[words[length]], length + 1
    return value, length


def below_hundred(words: Sequence[str]) -> tuple[int, int] | None:
    """Value below 100 of number words, and how many words it takes: "six", "thirty six", "twenty threes", "oh five"."""
    if words[:1] in (["oh"], ["o"]) and len(words) > 1 and 0 < WORD_VALUES.get(words[1], 0) < 10:
        return WORD_VALUES[words[1]], 2
    value = WORD_VALUES.get(words[0]) if words else None
    if value is None:
        return None
    ones = (WORD_VALUES.get(words[1]) or _ONES_PLURAL.get(words[1], 0)) if len(words) > 1 else 0
    return (value + ones, 2) if words[0] in _TENS and 0 < ones < 10 else (value, 1)


def _decimals(words: Sequence[str]) -> tuple[float, int]:
    """What is added, and by how many words: "point two five", "and a half", "and three quarters"."""
    if words[:1] == ["point"]:
        digits = []
        for word in words[1:5]:
            if word not in _DIGITS:
                break
            digits.append(str(_DIGITS[word]))
        return (float(f"0.{''.join(digits)}"), 1 + len(digits)) if digits else (0.0, 0)
    if words[:1] == ["and"] and len(words) > 1:
        skip = 2 if words[1] == "a" and words[2:3] and words[2] in ("half", "quarter") else 1
        part = _part_of_one(words[skip:]) if words[skip] in WORD_VALUES or words[skip] in ("half", "quarter") else None
        return (part[0], skip + 1 if skip == 2 else skip + part[1]) if part else (0.0, 0)
    return 0.0, 0


def spelt(number: int) -> str:
    """A number below 100 in words.

    >>> spelt(8), spelt(48)
    ('eight', 'forty eight')
    """
    if number < len(_ONES):
        return _ONES[number]
    ten = next(word for word, value in _TENS.items() if value == number // 10 * 10)
    return f"{ten} {_ONES[number % 10]}" if number % 10 else ten


def spoken_year(tokens: Sequence[Token], index: int) -> tuple[int, int] | None:
    """A year in words and the index after it: "twenty twelve", "two thousand and four", "oh five"."""
    words = [token.norm for token in tokens[index : index + 5]]
    if words[:2] == ["two", "thousand"]:
        skip = 3 if words[2:3] == ["and"] else 2
        tail = below_hundred(words[skip:])
        return (2000 + tail[0], index + skip + tail[1]) if tail else (2000, index + 2)
    if words[:1] in (["twenty"], ["nineteen"]):
        tail = below_hundred(words[1:])
        century = 2000 if words[0] == "twenty" else 1900
        if tail and (tail[0] >= 10 or words[1] in ("oh", "o")):
            return century + tail[0], index + 1 + tail[1]
    if words[:1] in (["oh"], ["o"]) and 0 < WORD_VALUES.get(words[1] if len(words) > 1 else "", 0) < 10:
        return 2000 + WORD_VALUES[words[1]], index + 2
    return None

"""Numbers and quantities as people write them: '36volt', 'thirty six', '38,2', '1/2 in', '6-8v', '6.3 6.3 5.1'."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from triage.language.tokens import Token

_UNITS = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
_TENS = {
    "twenty": 20,
    "thirty": 30,
    "forty": 40,
    "fourty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "ninety": 90,
}
PLURALS: Mapping[str, int] = {"sixes": 6, "eights": 8, "twelves": 12}  # "eight sixes"
WORD_VALUES: Mapping[str, int] = {word: value for value, word in enumerate(_UNITS)} | _TENS | PLURALS
_FRACTION_WORDS = {"half": 0.5, "quarter": 0.25}
_GLUED_ONLY = frozenset({"a", "h", "w", "s", "k"})  # letters that are a unit only when stuck to the number
_IN_FOLLOWERS = frozenset(
    (
        "the a my this that it total all series each our their your order one any and winter summer spring "
        "his her town here there case place front back good bad"
    ).split()
)
MAX_UNIT_WORDS = 4


@dataclass(frozen=True, slots=True)
class Number:
    """A number at tokens first..last (half open). `text` keeps the way it was written."""

    value: float
    first: int
    last: int
    decimal: bool = False


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number, or a range low..high, with its unit ("" when none was written)."""

    value: float
    unit: str
    first: int
    last: int
    high: float | None = None
    decimal: bool = False


class Units:
    """How people write units, from the pack."""

    def __init__(self, units: Mapping[str, Sequence[str]]) -> None:
        self._by_words: dict[tuple[str, ...], str] = {}
        for symbol, spellings in units.items():
            for spelling in spellings:
                self._by_words[tuple(_unit_words(spelling))] = symbol

    def at(self, tokens: Sequence[Token], index: int) -> tuple[str, int]:
        """The unit written at this token and the index after it; ("", index) when there is none."""
        for length in range(MAX_UNIT_WORDS, 0, -1):
            words = tuple(token.norm.lower() for token in tokens[index : index + length])
            symbol = self._by_words.get(words)
            if symbol and len(words) == length and _is_unit(tokens, index, length):
                return symbol, index + length
        return "", index


def _unit_words(spelling: str) -> list[str]:
    from triage.language.tokens import tokenise

    return [token.norm.lower() for token in tokenise(spelling)]


def _is_unit(tokens: Sequence[Token], index: int, length: int) -> bool:
    word = tokens[index].norm.lower()
    if length > 1 or index == 0:
        return index > 0
    glued = tokens[index - 1].end == tokens[index].start
    if word in _GLUED_ONLY:
        return glued or _capital_at_end(tokens, index)
    if word == "in" and not glued:
        following = tokens[index + 1] if index + 1 < len(tokens) else None
        return following is not None and following.is_word and following.norm not in _IN_FOLLOWERS
    return True


def _capital_at_end(tokens: Sequence[Token], index: int) -> bool:
    """ "controller 350 A." is amperes; "350 A DAY" is not."""
    following = tokens[index + 1] if index + 1 < len(tokens) else None
    return tokens[index].text in ("A", "W") and (following is None or following.kind == "mark")


def find_numbers(tokens: Sequence[Token]) -> Iterator[Number]:
    """Numbers in order: digits, fractions, mixed numbers and number words."""
    index = 0
    while index < len(tokens):
        number = _digits(tokens, index) or _words(tokens, index)
        if number:
            yield number
            index = number.last
        else:
            index += 1


def _digits(tokens: Sequence[Token], index: int) -> Number | None:
    token = tokens[index]
    if token.kind != "number":
        return None
    value, decimal = to_float(token.text)
    fraction = _fraction(tokens, index)
    if fraction:
        return Number(fraction, index, index + 3, True)
    tail = _fraction(tokens, index + 1) if index + 1 < len(tokens) and tokens[index + 1].kind == "number" else None
    if tail and tail < 1 and not decimal:
        return Number(value + tail, index, index + 4, True)
    return Number(value, index, index + 1, decimal)


def _fraction(tokens: Sequence[Token], index: int) -> float | None:
    """1/2, 3/8 ... proper fractions with a usual denominator, written without spaces."""
    if index + 2 >= len(tokens) or tokens[index + 1].text != "/" or tokens[index + 2].kind != "number":
        return None
    above, below = tokens[index].text, tokens[index + 2].text
    if tokens[index].end != tokens[index + 2].start - 1 or below not in ("2", "4", "8", "16", "3", "32"):
        return None
    if not above.isdigit() or not 0 < int(above) < int(below):
        return None
    return int(above) / int(below)


def to_float(text: str) -> tuple[float, bool]:
    """Value of a written number and whether it has a fraction part; a lone comma before 1-2 digits is decimal."""
    if "," in text:
        head, _, tail = text.rpartition(",")
        if len(tail) == 3 and "." not in tail:
            return float(text.replace(",", "")), False
        if "." not in text:
            return float(f"{head.replace(',', '')}.{tail}"), True
        text = text.replace(",", "")
    return float(text), "." in text


def spoken_year(tokens: Sequence[Token], index: int) -> tuple[int, int] | None:
    """A year in words and the index after it: "twenty twelve", "two thousand and four", "oh five"."""
    words = [token.norm for token in tokens[index : index + 5]]
    if words[:2] == ["two", "thousand"]:
        skip = 3 if words[2:3] == ["and"] else 2
        tail = _below_hundred(words[skip:])
        return (2000 + tail[0], index + skip + tail[1]) if tail else (2000, index + 2)
    if words[:1] in (["twenty"], ["nineteen"]):
        tail = _below_hundred(words[1:])
        century = 2000 if words[0] == "twenty" else 1900
        if tail and (tail[0] >= 10 or words[1] in ("oh", "o")):
            return century + tail[0], index + 1 + tail[1]
    if words[:1] in (["oh"], ["o"]) and 0 < WORD_VALUES.get(words[1] if len(words) > 1 else "", 0) < 10:
        return 2000 + WORD_VALUES[words[1]], index + 2
    return None


def _below_hundred(words: Sequence[str]) -> tuple[int, int] | None:
    """Value below 100 of number words, and how many words it takes."""
    if words[:1] in (["oh"], ["o"]) and len(words) > 1 and 0 < WORD_VALUES.get(words[1], 0) < 10:
        return WORD_VALUES[words[1]], 2
    value = WORD_VALUES.get(words[0]) if words else None
    if value is None:
        return None
    if value in _TENS.values() and len(words) > 1 and 0 < WORD_VALUES.get(words[1], 0) < 10:
        return value + WORD_VALUES[words[1]], 2
    return value, 1


def _words(tokens: Sequence[Token], index: int) -> Number | None:
    """Number words: "six", "thirty six", "forty-eight", "a hundred and five", "six and a half"."""
    value = WORD_VALUES.get(tokens[index].norm)
    if value is None:
        return None
    last = index + 1
    if value in _TENS.values() and last < len(tokens) and 0 < WORD_VALUES.get(tokens[last].norm, 0) < 10:
        value += WORD_VALUES[tokens[last].norm]
        last += 1
    if last < len(tokens) and tokens[last].norm == "hundred":
        value, last = value * 100, last + 1
        last = last + 1 if last < len(tokens) and tokens[last].norm == "and" else last
        more = _words(tokens, last) if last < len(tokens) else None
        if more:
            return Number(value + more.value, index, more.last)
    return _with_decimals(tokens, Number(value, index, last))


def _with_decimals(tokens: Sequence[Token], number: Number) -> Number:
    """ "thirty eight point two", "six and a half"."""
    following = [token.norm for token in tokens[number.last : number.last + 3]]
    if following[:1] == ["point"] and len(following) > 1 and following[1] in WORD_VALUES:
        return Number(number.value + WORD_VALUES[following[1]] / 10, number.first, number.last + 2, True)
    if following[:2] == ["and", "a"] and following[2:] and following[2] in _FRACTION_WORDS:
        return Number(number.value + _FRACTION_WORDS[following[2]], number.first, number.last + 3, True)
    return number


def find_quantities(tokens: Sequence[Token], units: Units) -> list[Quantity]:
    """Numbers with their units; '6-8v' and '10 to 12 mph' are one quantity with a high end."""
    numbers = list(find_numbers(tokens))
    quantities: list[Quantity] = []
    skip = -1
    for position, number in enumerate(numbers):
        if position == skip:
            continue
        following = numbers[position + 1] if position + 1 < len(numbers) else None
        joined = _range(tokens, number, following, units)
        if joined:
            quantities.append(joined)
            skip = position + 1
        else:
            quantities.append(_single(tokens, number, units))
    return quantities


def _single(tokens: Sequence[Token], number: Number, units: Units) -> Quantity:
    index = number.last
    if index < len(tokens) - 1 and tokens[index].text in "-–" and tokens[index].start == tokens[index - 1].end:
        index += 1  # "36-volt"
    unit, last = units.at(tokens, index)
    return Quantity(number.value, unit, number.first, last if unit else number.last, None, number.decimal)


def _range(tokens: Sequence[Token], low: Number, high: Number | None, units: Units) -> Quantity | None:
    if high is None or high.value <= low.value or high.first - low.last > 2:
        return None
    first_unit, after = units.at(tokens, low.last)
    between = [token.norm for token in tokens[after : high.first]]
    unit, last = units.at(tokens, high.last)
    if between not in (["-"], ["–"], ["to"], ["through"]) or not unit or (first_unit and first_unit != unit):
        return None
    return Quantity(low.value, unit, low.first, last, high.value, low.decimal or high.decimal)


def number_lists(tokens: Sequence[Token], quantities: Sequence[Quantity]) -> list[tuple[Quantity, ...]]:
    """Runs of at least three like numbers set apart by spaces, commas or slashes: per-battery readings."""
    runs: list[list[Quantity]] = []
    for quantity in quantities:
        if runs and _continues(tokens, runs[-1][-1], quantity):
            runs[-1].append(quantity)
        else:
            runs.append([quantity])
    return [tuple(run) for run in runs if len(run) >= 3]


_LIST_MARKS = frozenset({",", "/", "and", ";", "&", "then", "-", "|"})


def _continues(tokens: Sequence[Token], before: Quantity, after: Quantity) -> bool:
    between = tokens[before.last : after.first]
    similar = before.value > 0 and 0.3 < after.value / before.value < 3.4
    return len(between) <= 2 and all(token.norm in _LIST_MARKS for token in between) and similar

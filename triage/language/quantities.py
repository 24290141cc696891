"""Quantities: numbers with their units and ranges, "36volt", "1/2 in", "10 to 12 mph", and runs of them."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from triage.language.numbers import Number, find_numbers
from triage.language.tokens import Token
from triage.language.units import Units

_TEMPERATURE = frozenset({"degC", "degF", "deg"})
_LIST_MARKS = frozenset({",", "/", "and", ";", "&", "then", "-", "|"})
_LABEL_MARKS = frozenset({")", ".", ":", "-", "=", "]", "–"})


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number, or a range low..high, with its unit ("" when none was written)."""

    value: float
    unit: str
    first: int
    last: int
    high: float | None = None
    decimal: bool = False


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
    hyphen = index < len(tokens) - 1 and tokens[index].text in "-–" and tokens[index].start == tokens[index - 1].end
    if hyphen and not _is_of_name(tokens, number.first):
        index += 1  # "36-volt"
    unit, last = units.at(tokens, index) if not _is_of_name(tokens, number.first) else ("", index)
    if unit in _TEMPERATURE and _is_negative(tokens, number.first):
        return Quantity(-number.value, unit, number.first - 1, last, None, number.decimal)
    return Quantity(number.value, unit, number.first, last if unit else number.last, None, number.decimal)


def _is_of_name(tokens: Sequence[Token], index: int) -> bool:
    """ "F1-F2", "LK07A": the figure of a name; not "six8volts"."""
    glued = index > 0 and tokens[index - 1].is_word and tokens[index - 1].end == tokens[index].start
    return glued and tokens[index - 1].text.isupper() and tokens[index].kind == "number"


def _is_negative(tokens: Sequence[Token], index: int) -> bool:
    """ "-18 C", "minus four degrees"; not the dash of "4-18 C"."""
    if not index:
        return False
    before = tokens[index - 1]
    glued = before.text in "-−" and before.end == tokens[index].start
    joins = index > 1 and tokens[index - 2].end == before.start
    return before.norm in ("minus", "negative") or (glued and not joins)


def _range(tokens: Sequence[Token], low: Number, high: Number | None, units: Units) -> Quantity | None:
    if high is None or high.value <= low.value or high.first - low.last > 2:
        return None
    first_unit, after = units.at(tokens, low.last)
    between = [token.norm for token in tokens[after : high.first]]
    unit, last = units.at(tokens, high.last)
    both = between == ["and"] and low.first > 0 and tokens[low.first - 1].norm == "between"
    joined = both or between in (["-"], ["–"], ["to"], ["through"])
    if not joined or not unit or (first_unit and first_unit != unit):
        return None
    return Quantity(low.value, unit, low.first, last, high.value, low.decimal or high.decimal)


def number_lists(tokens: Sequence[Token], quantities: Sequence[Quantity]) -> list[tuple[Quantity, ...]]:
    """Runs of at least three like numbers: set apart by spaces, commas or slashes, or each with its running number."""
    labels = set(_running_numbers(tokens, quantities))
    runs: list[list[Quantity]] = []
    for position, quantity in enumerate(quantities):
        if position in labels:
            continue
        if runs and (_continues(tokens, runs[-1][-1], quantity) or position - 1 in labels):
            fresh = position - 1 in labels and quantities[position - 1].value == 1
            if not fresh:
                runs[-1].append(quantity)
                continue
        runs.append([quantity])
    return [tuple(run) for run in runs if len(run) >= 3]


def _running_numbers(tokens: Sequence[Token], quantities: Sequence[Quantity]) -> Iterator[int]:
    """Positions of quantities that only count the next one: "1) 6.31 2) 6.30", "No.1 8.44", "battery 1 8.2v"."""
    expected, found = 1, list[int]()
    for position, (label, value) in enumerate(itertools.pairwise(quantities)):
        if label.value == expected and _labels(tokens, label, value):
            found.append(position)
            expected += 1
        elif label.value == 1 and _labels(tokens, label, value):
            yield from found if len(found) >= 3 else ()
            expected, found = 2, [position]
    yield from found if len(found) >= 3 else ()


def _labels(tokens: Sequence[Token], label: Quantity, value: Quantity) -> bool:
    between = tokens[label.last : value.first]
    plain = not label.unit and not label.decimal and value.decimal
    return plain and len(between) <= 2 and all(token.text in _LABEL_MARKS for token in between)


def _continues(tokens: Sequence[Token], before: Quantity, after: Quantity) -> bool:
    between = tokens[before.last : after.first]
    similar = before.value > 0 and 0.3 < after.value / before.value < 3.4
    return len(between) <= 2 and all(token.norm in _LIST_MARKS for token in between) and similar

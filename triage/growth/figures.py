"""Figures of a sentence with unit, range and limit, and whether two of them can both hold."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from triage.growth.wordlists import Sign, WordLists
from triage.language.quantities import Quantity, find_quantities
from triage.language.tokens import Token

ROUND = 2.0  # a figure that is called a round one ("about") may be off by so many times the share
BARE_SHARE = 0.02  # by which two decimal figures without a unit may differ: 1.277 and 1.265 of gravity do not agree
REACH = 2  # words between "at least" and its figure


@dataclass(frozen=True, slots=True)
class Figure:
    """A number or range at tokens first..last, in the unit it was told in; `bound` is "at_least", "at_most" or ""."""

    low: float
    high: float
    unit: str  # id of a unit record, "" for a bare decimal
    share: float
    bound: str = ""
    first: int = 0
    last: int = 0

    def __str__(self) -> str:
        value = f"{self.low:g}" if self.low == self.high else f"{self.low:g} to {self.high:g}"
        return f"{value} {self.unit.replace('_', ' ')}".strip()


def figures(tokens: Sequence[Token], signs: Sequence[Sign], lists: WordLists) -> tuple[Figure, ...]:
    """The figures of a text that can be compared: those with a unit of the pack, and bare decimals."""
    return tuple(_figures(tokens, signs, lists))


def _figures(tokens: Sequence[Token], signs: Sequence[Sign], lists: WordLists) -> Iterator[Figure]:
    for quantity in (*find_quantities(tokens, lists.units), *_articles(tokens, lists)):
        record = lists.unit(quantity.unit) if quantity.unit else None
        if record is None and not (not quantity.unit and "." in tokens[quantity.first].text):
            continue
        near = [sign for sign in signs if _beside(sign, quantity)]
        share = record.share if record else BARE_SHARE
        share *= ROUND if any(sign.kind == "about" for sign in near) else 1
        bound = next((sign.key for sign in near if sign.kind == "bound"), "")
        high = quantity.value if quantity.high is None else quantity.high
        yield Figure(quantity.value, high, record.id if record else "", share, bound, quantity.first, quantity.last)


def _articles(tokens: Sequence[Token], lists: WordLists) -> Iterator[Quantity]:
    """ "an hour", "once a month": one of it."""
    for index, token in enumerate(tokens):
        if token.norm in ("a", "an") and index + 1 < len(tokens) and len(tokens[index + 1].norm) > 2:
            unit, last = lists.units.at(tokens, index + 1)
            if unit and (not index or tokens[index - 1].norm not in ("half", "quarter")):
                yield Quantity(1.0, unit, index, last)


def _beside(sign: Sign, quantity: Quantity) -> bool:
    before = 0 <= quantity.first - sign.last <= REACH
    return before or (sign.words.startswith("or ") and sign.first == quantity.last)


def comparable(one: Figure, other: Figure) -> bool:
    """Both measure one kind of thing."""
    if not (one.unit and other.unit):
        return one.unit == other.unit
    return bool(_unit(one.unit).dimensionality == _unit(other.unit).dimensionality)


def agree(one: Figure, other: Figure) -> bool:
    """Both can hold of one thing: values within the wider of the two shares, ranges that meet, limits that are kept."""
    low, high = (_in(value, other.unit, one.unit) for value in (other.low, other.high))
    share = max(one.share, other.share)
    if one.bound == other.bound:
        slack = share * max(abs(one.high), abs(high))
        return one.low <= high + slack and low <= one.high + slack
    mine, theirs = _reach(one.low, one.high, one.bound), _reach(low, high, other.bound)
    return mine[0] <= theirs[1] and theirs[0] <= mine[1]


def _reach(low: float, high: float, bound: str) -> tuple[float, float]:
    if bound == "at_least":
        return low, math.inf
    return (-math.inf, high) if bound == "at_most" else (low, high)


def _in(value: float, unit: str, wanted: str) -> float:
    return float(_units().Quantity(value, unit).to(wanted).magnitude) if unit != wanted else value


@lru_cache(maxsize=256)
def _unit(name: str) -> Any:
    return _units().Unit(name)


@lru_cache(maxsize=1)
def _units() -> Any:
    from pint import UnitRegistry  # a fifth of a second

    return UnitRegistry(autoconvert_offset_to_baseunit=True)

"""Tyres, wheels, lift, spacers, speed and controller current."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.facts.candidate import Candidate, plain, words_basis
from triage.facts.trade import CONTROLLER_PARTS, TYRE_PARTS, WHEEL_PARTS, Trade
from triage.language import Document
from triage.language.numbers import Quantity

_TYRE_CODE = re.compile(
    r"\b(\d{2})\s?[xX×]\s?(\d{1,2}(?:[.,]\d{1,2})?)\s?[-xX×rR/]\s?(\d{1,2})\b"
    r"|\b(\d{3})\s?/\s?(\d{2})\s?[-/rR ]\s?[rR]?(\d{1,2})\b"
)
_MM_PER_INCH = 25.4
_KM_PER_MILE = 1.609344
_TO_INCHES = {"in": 1.0, "mm": 1 / _MM_PER_INCH, "cm": 10 / _MM_PER_INCH}
_SPEED_WORDS = frozenset(
    (
        "does do doing did goes go going went runs run hit hits top tops out at max maxes maxed speed speeds "
        "reaches reach gets get to up now only about around pulls"
    ).split()
)
_SPEED_VERBS = frozenset("does do doing did goes go going went runs hit hits tops reaches maxes".split())
_ROAD_WORDS = frozenset("road roads limit zone street streets highway speed-limit posted wind".split())


def find(document: Document, trade: Trade) -> Iterator[Candidate]:
    """Candidates for tyre_size, wheel_diameter, lift, spacer, top_speed and controller_current."""
    codes = list(_tyre_codes(document))
    yield from codes
    taken = {index for code in codes for index in range(code.first, code.last)}
    for quantity in document.quantities:
        if quantity.first not in taken:
            yield from _measures(document, quantity, trade)
    yield from _bare_speeds(document)
    yield from _absent(document)


def _tyre_codes(document: Document) -> Iterator[Candidate]:
    for match in _TYRE_CODE.finditer(document.text):
        inside = [i for i, t in enumerate(document.tokens) if t.start >= match.start() and t.end <= match.end()]
        if not inside or not _plausible_code(match):
            continue
        value = _inch_code(match) if match[1] else f"{match[4]}/{match[5]}-{match[6]}"
        first, last = inside[0], inside[-1] + 1
        yield Candidate("tyre_size", value, first, last, basis=words_basis(document, first, last))


def _plausible_code(match: re.Match[str]) -> bool:
    if match[1]:
        return 14 <= int(match[1]) <= 30 and 6 <= int(match[3]) <= 15
    return 100 <= int(match[4]) <= 300 and 6 <= int(match[6]) <= 16


def _inch_code(match: re.Match[str]) -> str:
    width = match[2].replace(",", ".")
    if "." in width:
        width = f"{float(width):.2f}"
    return f"{match[1]}x{width}-{match[3]}"


def _measures(document: Document, quantity: Quantity, trade: Trade) -> Iterator[Candidate]:
    if quantity.unit in _TO_INCHES:
        yield from _lengths(document, quantity, trade)
    elif quantity.unit in ("mph", "km/h") and not _about_a_road(document, quantity):
        factor = 1.0 if quantity.unit == "mph" else 1 / _KM_PER_MILE
        top = quantity.high if quantity.high is not None else quantity.value
        basis = words_basis(document, quantity.first, quantity.last)
        yield Candidate("top_speed", plain(round(top * factor, 1)), quantity.first, quantity.last, "mph", basis=basis)
    elif quantity.unit == "A" and _near(document, quantity, CONTROLLER_PARTS, 5):
        basis = words_basis(document, quantity.first, quantity.last)
        yield Candidate("controller_current", plain(quantity.value), quantity.first, quantity.last, "A", basis=basis)


def _about_a_road(document: Document, quantity: Quantity) -> bool:
    return any(token.norm in _ROAD_WORDS for token in document.tokens[quantity.last : quantity.last + 3])


def _lengths(document: Document, quantity: Quantity, trade: Trade) -> Iterator[Candidate]:
    inches = plain(quantity.value * _TO_INCHES[quantity.unit])
    name, last, basis = _length_role(document, quantity, trade)
    low, high = _PLAUSIBLE.get(name, (0, 0))
    if not low <= inches <= high:
        return
    unit = "in"
    yield Candidate(
        name, inches, quantity.first, last, unit, basis=basis or words_basis(document, quantity.first, last)
    )


def _length_role(document: Document, quantity: Quantity, trade: Trade) -> tuple[str, int, str]:
    """What a length measures, where its evidence ends, and a basis when the words were not meant as they stand."""
    clause = document.tokens[quantity.first].clause
    for mention in _after_then_before(document, quantity):
        if document.tokens[mention.first].clause != clause and mention.first > quantity.last + 2:
            continue
        last = max(quantity.last, mention.last if mention.first >= quantity.first else quantity.last)
        role = _ROLES.get((mention.entry.kind, mention.entry.key), "")
        if role == "tyre_size" and quantity.value * _TO_INCHES[quantity.unit] <= trade.wheel_limit:
            said = document.words(quantity.first, last)
            return "wheel_diameter", last, f"'{said}' read as the wheel: no tyre is that small"
        if role:
            return role, last, ""
    return "", quantity.last, ""


_PLAUSIBLE = {"tyre_size": (14, 32), "wheel_diameter": (6, 16), "lift": (0.5, 14), "spacer": (0.2, 4)}
_ROLES = (
    {("part", key): "tyre_size" for key in TYRE_PARTS}
    | {("part", key): "wheel_diameter" for key in WHEEL_PARTS}
    | {("modification", "lift kit"): "lift", ("modification", "wheel spacers"): "spacer"}
)


def _after_then_before(document: Document, quantity: Quantity) -> list:  # type: ignore[type-arg]
    """Mentions with a role: those right after the number first, then those shortly before it."""
    with_role = [m for m in document.mentions if (m.entry.kind, m.entry.key) in _ROLES]
    after = [
        m for m in with_role if m.first > quantity.first and m.last > quantity.last and m.first - quantity.last <= 3
    ]
    before = [m for m in with_role if 0 <= quantity.first - m.last <= (7 if m.entry.key == "lift kit" else 3)]
    return sorted(after, key=lambda m: m.first) + sorted(before, key=lambda m: -m.last)


def _near(document: Document, quantity: Quantity, parts: frozenset[str], reach: int) -> bool:
    return any(
        mention.entry.key in parts
        and (0 <= mention.first - quantity.last <= reach or 0 <= quantity.first - mention.last <= reach)
        for mention in document.of_kind("part")
    )


def _bare_speeds(document: Document) -> Iterator[Candidate]:
    """ "used to do 19", "tops out at 12": a speed without its unit."""
    tokens = document.tokens
    for quantity in document.quantities:
        if quantity.unit or quantity.decimal or not 5 <= quantity.value <= 45 or quantity.high is not None:
            continue
        before = [token.norm for token in tokens[max(0, quantity.first - 3) : quantity.first]]
        after = tokens[quantity.last] if quantity.last < len(tokens) else None
        verb = bool(before) and (
            before[-1] in _SPEED_VERBS or (before[-1] in _SPEED_WORDS and bool(_SPEED_VERBS & set(before)))
        )
        ends = (
            after is None
            or after.kind == "mark"
            or after.norm in ("now", "tops", "max", "flat", "before", "on", "and", "but", "maybe", "when", "at")
        )
        if verb and ends and not _is_volts(document, quantity.value) and not _about_distance(document):
            basis = words_basis(document, quantity.first, quantity.last)
            yield Candidate("top_speed", plain(quantity.value), quantity.first, quantity.last, "mph", basis=basis)


def _about_distance(document: Document) -> bool:
    """Miles told elsewhere make a bare "it goes 20" a distance."""
    units = {quantity.unit for quantity in document.quantities}
    return bool(units & {"mile", "km"}) and not units & {"mph", "km/h"}


def _is_volts(document: Document, value: float) -> bool:
    return value in (24, 36, 48, 72) and any(q.unit == "V" for q in document.quantities)


def _absent(document: Document) -> Iterator[Candidate]:
    """ "no lift", "not lifted", "no spacers": denied without a number."""
    for mention in document.of_kind("modification"):
        role = _ROLES.get(("modification", mention.entry.key))
        numbered = any(abs(q.first - mention.first) <= 3 and q.unit in _TO_INCHES for q in document.quantities)
        if role and not numbered and document.scopes.denied(mention.first, mention.last):
            basis = words_basis(document, mention.first, mention.last)
            yield Candidate(role, 0, mention.first, mention.last, "in", basis=basis)

"""Tyres, wheels, lift and spacers: sizes in inches, and what is said not to be there."""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Sequence

from triage.facts.candidate import Candidate, plain, words_basis
from triage.facts.trade import TYRE_PARTS, WHEEL_PARTS, Trade
from triage.language import Document, Mention
from triage.language.numbers import below_hundred
from triage.language.quantities import Quantity

_TYRE_CODE = re.compile(
    r"\b(\d{2})\s?(?:[xX×*]|by)\s?(\d{1,2}(?:[.,]\d{1,2})?|850|950)\s?(?:[-xX×*rR/]|by)\s?(\d{1,2})s?\b"
    r"|\b(\d{3})\s?/\s?(\d{2})\s?[-/rR ]\s?[rR]?(\d{1,2})s?\b"
    r"|\b(\d{2})[-/ ](\d{1,2}[.,]\d{1,2}|850|950)[-/ ](\d{1,2})\b"
    r"|\b(\d{3})[- ](\d{2})[- ](\d{1,2})\b"
)
_SPOKEN_CODE = re.compile(
    r"\b(eighteen|twenty|twenty[ -]two|twenty[ -]three) (?:by )?(eight|nine|ten) fifty (?:by )?(eight|ten|twelve)\b",
    re.IGNORECASE,
)
_MM_PER_INCH = 25.4
_TO_INCHES = {"in": 1.0, "mm": 1 / _MM_PER_INCH, "cm": 10 / _MM_PER_INCH}
_PLAUSIBLE = {"tyre_size": (14, 32), "wheel_diameter": (6, 16), "lift": (0.5, 14), "spacer": (0.2, 4)}
_DECIMALS = {"tyre_size": 1}
_ROLES = (
    {("part", key): "tyre_size" for key in TYRE_PARTS}
    | {("part", key): "wheel_diameter" for key in WHEEL_PARTS}
    | {("modification", "lift kit"): "lift", ("modification", "wheel spacers"): "spacer", ("part", "spacer"): "spacer"}
)
_AFTER_REACH = 3
_BEFORE_REACH = 6
_LIFT_REACH = 10  # "lifted my NAME from 2012 with 10 cm"
_BARE_TYRE = (18, 28)  # in; "23s" are tyres of that height
_BARE_WHEEL = (8, 15)  # in
_BARE_TYRE_BEFORE = frozenset(
    "are would do will can on run running fit put want love like a set of and or with , with up to is has as it "
    "wears wear the clear clears fit fits stuck".split()
)


def find(document: Document, trade: Trade) -> Iterator[Candidate]:
    """Candidates for tyre_size, wheel_diameter, lift and spacer."""
    codes = list(_tyre_codes(document))
    yield from codes
    taken = {index for code in codes for index in range(code.first, code.last)}
    before: Candidate | None = None
    for quantity in document.quantities:
        if quantity.first in taken:
            continue
        found = [
            *_length(document, quantity, trade),
            *_bare_tyre(document, quantity, trade),
            *_bare_lift(document, quantity),
            *_bare_wheel(document, quantity),
        ]
        found = found or list(_wished(document, quantity, before))
        before = found[-1] if found else before
        yield from found
    yield from _absent(document)


def _tyre_codes(document: Document) -> Iterator[Candidate]:
    for match in _TYRE_CODE.finditer(document.text):
        first, last = document.token_range(match.start(), match.end())
        sizes = [group for group in match.groups() if group]
        spaced = match[7] or match[10]  # like a date or a phone number: only beside a tyre or wheel
        if last > first and _plausible_code(sizes) and not (spaced and not _is_of_tyre(document, first, last)):
            value = _inch_code(sizes) if len(sizes[0]) == 2 else f"{sizes[0]}/{sizes[1]}-{sizes[2]}"
            yield Candidate("tyre_size", value, first, last, basis=words_basis(document, first, last))
    for match in _SPOKEN_CODE.finditer(document.text):
        first, last = document.token_range(match.start(), match.end())
        height, width, rim = (_spoken(part) for part in match.groups())
        yield Candidate(
            "tyre_size", f"{height}x{width}.50-{rim}", first, last, basis=words_basis(document, first, last)
        )


def _spoken(words: str) -> int:
    found = below_hundred(words.lower().replace("-", " ").split())
    return found[0] if found else 0


def _is_of_tyre(document: Document, first: int, last: int) -> bool:
    near = document.between("part", first - _BEFORE_REACH, last + _AFTER_REACH)
    return any(m.entry.key in TYRE_PARTS | WHEEL_PARTS and document.same_sentence(m.first, first) for m in near)


def _plausible_code(sizes: Sequence[str]) -> bool:
    """Sizes of low-speed vehicles: 16 to 30 in tall on rims of 6 to 16 in; metric 155 to 305 wide."""
    if len(sizes[0]) == 2:
        return 14 <= int(sizes[0]) <= 32 and 6 <= int(sizes[2]) <= 16
    return 125 <= int(sizes[0]) <= 325 and 25 <= int(sizes[1]) <= 85 and 6 <= int(sizes[2]) <= 18


def _inch_code(sizes: Sequence[str]) -> str:
    """Written as on the sidewall: 18x8.50-8, 22x11-10."""
    width = sizes[1].replace(",", ".")
    if "." not in width and len(width) == 3:
        width = f"{width[0]}.{width[1:]}"
    whole, _, part = width.partition(".")
    return f"{sizes[0]}x{whole}.{part:0<2}-{sizes[2]}" if part else f"{sizes[0]}x{whole}-{sizes[2]}"


def _length(document: Document, quantity: Quantity, trade: Trade) -> Iterator[Candidate]:
    if quantity.unit not in _TO_INCHES:
        return
    inches = quantity.value * _TO_INCHES[quantity.unit]
    name, last, basis = _length_role(document, quantity, inches, trade)
    low, high = _PLAUSIBLE.get(name, (0, 0))
    if low <= inches <= high:
        value = plain(round(inches, _DECIMALS.get(name, 2)))
        yield Candidate(name, value, quantity.first, last, "in", basis or words_basis(document, quantity.first, last))


def _wished(document: Document, quantity: Quantity, before: Candidate | None) -> Iterator[Candidate]:
    """ "the wheels are 10 inch, I would like 12 inch": a wish for more of what was just told."""
    if before is None or quantity.unit not in _TO_INCHES or not document.same_sentence(before.first, quantity.first):
        return
    inches, (low, high) = quantity.value * _TO_INCHES[quantity.unit], _PLAUSIBLE[before.name]
    if low <= inches <= high and document.scopes.planned(quantity.first):
        basis = words_basis(document, quantity.first, quantity.last)
        yield Candidate(before.name, plain(round(inches, 2)), quantity.first, quantity.last, "in", basis)


def _length_role(document: Document, quantity: Quantity, inches: float, trade: Trade) -> tuple[str, int, str]:
    """What a length measures, where its evidence ends, and a basis when the words were not meant as they stand."""
    for mention in _measured(document, quantity):
        last = mention.last if mention.first >= quantity.first else quantity.last
        role = _ROLES[mention.entry.kind, mention.entry.key]
        if role == "tyre_size" and inches <= trade.wheel_limit:
            said = document.words(quantity.first, last)
            return "wheel_diameter", last, f"'{said}' read as the wheel: no tyre is that small"
        return role, last, ""
    return "", quantity.last, ""


def _measured(document: Document, quantity: Quantity) -> Sequence[Mention]:
    """Mentions with a role: those right after the number first, then those shortly before it, in its sentence."""
    after = [m for m in _with_role(document, quantity.last - 1, quantity.last + _AFTER_REACH) if m.last > quantity.last]
    before = _with_role(document, quantity.first - _LIFT_REACH - 3, quantity.first - 1)
    near_after = [m for m in after if _reaches(document, quantity.last, m.first) and _in_reach(document, quantity, m)]
    near_before = [m for m in before if m.last <= quantity.first and _reaches_back(document, m, quantity.first)]
    return [*near_after, *reversed(near_before)]


def _with_role(document: Document, low: int, high: int) -> list[Mention]:
    found = [m for kind in ("part", "modification") for m in document.between(kind, low, high)]
    return sorted((m for m in found if (m.entry.kind, m.entry.key) in _ROLES), key=lambda m: m.first)


def _in_reach(document: Document, quantity: Quantity, mention: Mention) -> bool:
    return document.same_clause(quantity.first, mention.first) or mention.first <= quantity.last + 2


def _reaches(document: Document, first: int, last: int) -> bool:
    """In one sentence, and no other number or joining word comes between."""
    if first > last:
        return True
    between = {document.norm(i) for i in range(first, last)}
    counted = (
        any(q.first < last for q in document.quantities_from(first, max(last - first - 1, 0)))
        if first < last
        else False
    )
    return document.same_sentence(first - 1, last) and not counted and not between & {"with", "and", "on", ",", "but"}


def _reaches_back(document: Document, mention: Mention, first: int) -> bool:
    reach = _LIFT_REACH if mention.entry.key == "lift kit" else _BEFORE_REACH
    if first - mention.last > reach or not document.same_sentence(mention.first, first):
        return False
    lengths = (q for q in document.quantities_from(mention.last, max(first - mention.last - 1, 0)) if q.first < first)
    return not any(q.unit in _TO_INCHES for q in lengths)


def _bare_tyre(document: Document, quantity: Quantity, trade: Trade) -> Iterator[Candidate]:
    """ "23s", "twenty threes", "22s": tyres called by their height."""
    low, high = _BARE_TYRE
    first, last = quantity.first, quantity.last
    if quantity.unit or quantity.decimal or not low <= quantity.value <= high or quantity.value in trade.pack_voltages:
        return
    spoken = document.tokens[last - 1].is_word and document.norm(last - 1).endswith("s")
    glued = document.norm(last) == "s" and document.tokens[last].start == document.tokens[last - 1].end
    if not quantity.unit and _labelled(document, first, TYRE_PARTS):
        yield Candidate("tyre_size", plain(quantity.value), first, last, "in", words_basis(document, first, last))
        return
    opens = (first == 0 or not document.same_sentence(first - 1, first)) and document.norm(last + glued) == "on"
    if (spoken or glued) and (opens or document.norm(first - 1) in _BARE_TYRE_BEFORE):
        end = last + 1 if glued else last
        yield Candidate("tyre_size", plain(quantity.value), first, end, "in", words_basis(document, first, end))


def _bare_wheel(document: Document, quantity: Quantity) -> Iterator[Candidate]:
    """ "the rims are 12s", "12s for wheels": wheels called by their diameter."""
    low, high = _BARE_WHEEL
    first, last = quantity.first, quantity.last
    glued = document.norm(last) == "s" and document.tokens[last].start == document.tokens[last - 1].end
    if quantity.unit or quantity.decimal or not low <= quantity.value <= high:
        return
    if _labelled(document, first, WHEEL_PARTS):
        yield Candidate("wheel_diameter", plain(quantity.value), first, last, "in", words_basis(document, first, last))
    if not glued:
        return
    said = document.norm(first - 1) in ("are", "is", ":") and document.before("part", first - 1, 0)
    if said and said[-1].entry.key in WHEEL_PARTS:
        basis = words_basis(document, first, last + 1)
        yield Candidate("wheel_diameter", plain(quantity.value), first, last + 1, "in", basis)


def _labelled(document: Document, first: int, parts: Container[str]) -> bool:
    """ "tyres: 22", "wheel size 12": told by what the number is of."""
    label = first - 1 if document.norm(first - 1) in (":", "=") else first
    sized = document.norm(label - 1) in ("size", "diameter", "height")
    told = document.before("part", label - sized, 0) if sized or label < first else ()
    ends = first + 1 >= len(document.tokens) or document.tokens[first + 1].kind == "mark"
    return ends and any(mention.entry.key in parts for mention in told)


def _bare_lift(document: Document, quantity: Quantity) -> Iterator[Candidate]:
    """ "a 3 1/2 lift": inches that go without saying."""
    low, high = _PLAUSIBLE["lift"]
    lifts = document.between("modification", quantity.last, quantity.last)
    told = not quantity.unit and quantity.high is None and max(low, 1) <= quantity.value <= high
    if told and any(m.entry.key == "lift kit" for m in lifts):
        basis = words_basis(document, quantity.first, quantity.last + 1)
        yield Candidate("lift", plain(quantity.value), quantity.first, quantity.last + 1, "in", basis)


def _absent(document: Document) -> Iterator[Candidate]:
    """ "no lift", "not lifted", "no spacers", "lift: none": denied without a number."""
    for mention in document.of_kind("modification"):
        role = _ROLES.get(("modification", mention.entry.key))
        near = document.quantities_from(mention.first - 3, 6)
        numbered = any(q.unit in _TO_INCHES and document.same_sentence(q.first, mention.first) for q in near)
        if role and not numbered and document.scopes.denied(mention.first, mention.last):
            basis = words_basis(document, mention.first, mention.last)
            yield Candidate(role, 0, mention.first, mention.last, "in", basis=basis)

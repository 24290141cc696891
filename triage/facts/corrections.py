"""What the asker takes back: "36, sorry, 48", "48 not 36", "six, no, I counted again, eight"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from triage.facts.candidate import Candidate, plain, words_basis
from triage.language import Document
from triage.language.quantities import Quantity
from triage.model import Fact, Standing

SINGLE = frozenset(
    "make model year powertrain pack_voltage battery_count battery_voltage battery_chemistry controller "
    "controller_current motor tyre_size wheel_diameter lift spacer top_speed charger_voltage battery_age".split()
)
_ECHOING = frozenset({"battery_count", "year", "lift", "top_speed", "pack_voltage"})
_ECHO_REACH = 10  # words from a value to the bare number that corrects it
_LOOK_BACK = 4  # earlier values of a fact that a correction may take back
_CONTRAST_REACH = 3


def echoes(candidates: Sequence[Candidate], document: Document) -> Iterator[Candidate]:
    """A bare number parted from a fact by a correction takes its name: "six batteries, no, eight"."""
    taken = {index for c in candidates for index in range(c.first, c.last)}
    for candidate in candidates:
        if candidate.name not in _ECHOING or not isinstance(candidate.value, int | float):
            continue
        number = _after(document, candidate, taken) or _before(document, candidate, taken)
        if number:
            value = _like(candidate, number)
            basis = words_basis(document, number.first, number.last)
            yield Candidate(candidate.name, value, number.first, number.last, candidate.unit, basis)


def _after(document: Document, candidate: Candidate, taken: set[int]) -> Quantity | None:
    """The number that corrects the fact."""
    for quantity in document.quantities_from(candidate.last, _ECHO_REACH):
        fits = _is_bare(quantity, taken) and _plausible(candidate, quantity) and _ends(document, quantity)
        if fits and _corrects(document, candidate.last, quantity.first):
            return quantity
    return None


def _before(document: Document, candidate: Candidate, taken: set[int]) -> Quantity | None:
    """The number that the fact corrects."""
    for quantity in document.quantities_from(candidate.first - _ECHO_REACH, _ECHO_REACH - 1):
        fits = _is_bare(quantity, taken) and _plausible(candidate, quantity) and document.norm(quantity.last) in ".,;–-"
        if fits and _corrects(document, quantity.last, candidate.first):
            return quantity
    return None


def _is_bare(quantity: Quantity, taken: set[int]) -> bool:
    return not quantity.unit and not quantity.decimal and quantity.first not in taken


def _corrects(document: Document, low: int, high: int) -> bool:
    """A correction stands between, close to the later number."""
    return any(cue.first >= low for cue in document.scopes.near("correction", high, high, 5))


def _plausible(candidate: Candidate, quantity: Quantity) -> bool:
    old = float(candidate.value) if isinstance(candidate.value, int | float) else 0.0
    if candidate.name == "year":
        return 0 < quantity.value < 100
    return quantity.value != old and 0.3 < quantity.value / old < 3.4 if old else False


def _like(candidate: Candidate, quantity: Quantity) -> int | float:
    """A short year gets the century of the one it corrects."""
    if candidate.name == "year" and isinstance(candidate.value, int):
        return candidate.value // 100 * 100 + int(quantity.value)
    return plain(quantity.value)


def _ends(document: Document, quantity: Quantity) -> bool:
    """Nothing is counted by it but what was counted before."""
    after = document.norm(quantity.last)
    named = any(m.entry.key == "battery" for m in document.between("part", quantity.last, quantity.last))
    return after in ("", ".", ",", ";", "!", ")", "of", "no", "i", "pieces", "batteries", "it", "wait", "in") or named


def corrected(facts: Sequence[Fact], ordered: Sequence[Candidate], document: Document) -> list[Fact]:
    """Where two values of one closed fact meet a correction, the later holds and the earlier is denied."""
    result = list(facts)
    earlier: dict[tuple[str, int], list[int]] = {}
    for later, fact in enumerate(result):
        if fact.name not in SINGLE:
            continue
        places = earlier.setdefault((fact.name, fact.vehicle), [])
        for place in places[-_LOOK_BACK:]:
            _settle(result, place, later, ordered, document)
        places.append(later)
    return result


def _settle(result: list[Fact], one: int, two: int, ordered: Sequence[Candidate], document: Document) -> None:
    """Set the standings of two values told one after the other."""
    a, b = result[one], result[two]
    if a.value == b.value or {a.standing, b.standing} & {Standing.OTHER, Standing.PLANNED, Standing.PAST}:
        return
    first, second = ordered[one], ordered[two]
    taken_back = document.scopes.corrected(second.first)
    if document.scopes.contrast(second.first, second.last) and second.first - first.last <= _CONTRAST_REACH:
        cued = document.scopes.corrected(first.first)
        result[one] = replace(a, standing=Standing.CORRECTED if cued else a.standing)
        result[two] = replace(b, standing=Standing.DENIED)
    elif taken_back and b.standing is not Standing.DENIED and b.standing is not Standing.INFERRED:
        result[one] = replace(a, standing=Standing.DENIED)
        result[two] = replace(b, standing=Standing.CORRECTED)

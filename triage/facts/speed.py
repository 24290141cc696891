"""Top speed: "15 mph", "24 km/h", "used to do 19", "tops out at 12"."""

from __future__ import annotations

from collections.abc import Iterator

from triage.facts.candidate import Candidate, plain, words_basis
from triage.language import Document
from triage.language.quantities import Quantity
from triage.model import Standing

_KM_PER_MILE = 1.609344
_SPEEDS = frozenset({"mph", "km/h"})
_VERBS = frozenset("does do doing did goes go going went runs run hit hits top tops reaches reach manages made".split())
_FILLERS = frozenset(
    "out at is down to of was about around only a good solid steady it now up to max maxes maxed speed gets get "
    "barely roughly maybe just like".split()
)
_ENDS = frozenset(
    "now tops max flat before b4 on and but maybe when at is are it i if or with b downhill uphill was then so "
    "these if mph".split()
)
_WISHES = frozenset({"want", "wants", "wanted", "like", "love", "after"})
_ROAD = frozenset("road roads limit zone street streets highway posted wind windspeed".split())
_DISTANCES = frozenset({"mile", "km"})
_BARE = (5, 45)  # mph
_ROAD_BEFORE = 8
_ROAD_AFTER = 3


def find(document: Document) -> Iterator[Candidate]:
    """Candidates for top_speed, in mph."""
    distances = any(q.unit in _DISTANCES for q in document.quantities) or _counts_holes(document)
    speeds = any(q.unit in _SPEEDS for q in document.quantities)
    volts = {q.value for q in document.quantities if q.unit == "V"}
    told_last: Quantity | None = None
    for quantity in document.quantities:
        if quantity.unit in _SPEEDS:
            if not _is_of_road(document, quantity):
                told_last = quantity
                yield _candidate(document, quantity)
        elif _is_bare(quantity) and quantity.value not in volts and not (distances and not speeds):
            before = _is_before(document, quantity)
            goes_on = told_last is not None and _goes_on(document, told_last, quantity)
            if before or goes_on or _is_told(document, quantity) or (speeds and _is_wished(document, quantity)):
                told_last = quantity
                yield _candidate(document, quantity, Standing.PAST if before else None)


def _candidate(document: Document, quantity: Quantity, standing: Standing | None = None) -> Candidate:
    factor = 1 / _KM_PER_MILE if quantity.unit == "km/h" else 1.0
    top = quantity.high if quantity.high is not None else quantity.value
    basis = words_basis(document, quantity.first, quantity.last)
    value = plain(round(top * factor, 1))
    return Candidate("top_speed", value, quantity.first, quantity.last, "mph", basis=basis, standing=standing)


def _is_of_road(document: Document, quantity: Quantity) -> bool:
    """ "in a 20 mph zone", "the limit in our park is 15 mph"."""
    after = range(quantity.last, quantity.last + _ROAD_AFTER)
    before = range(max(0, quantity.first - _ROAD_BEFORE), quantity.first)
    return any(document.norm(i) in _ROAD for i in after) or any(
        document.norm(i) in ("limit", "posted") and document.same_clause(i, quantity.first) for i in before
    )


def _is_bare(quantity: Quantity) -> bool:
    low, high = _BARE
    return not quantity.unit and not quantity.decimal and quantity.high is None and low <= quantity.value <= high


def _is_before(document: Document, quantity: Quantity) -> bool:
    """ "dropped from 15 to 9 mph": what it was."""
    following = document.quantities_from(quantity.last + 1, 0)
    joined = document.norm(quantity.first - 1) == "from" and document.norm(quantity.last) == "to"
    return joined and any(q.unit in _SPEEDS and q.value < quantity.value for q in following)


def _goes_on(document: Document, before: Quantity, quantity: Quantity) -> bool:
    """ "17 downhill and 14 on the level"."""
    gap = [document.norm(i) for i in range(before.last, quantity.first)]
    joined = (
        len(gap) <= 4 and gap[-1:] in (["and"], ["but"], [","]) and document.same_sentence(before.first, quantity.first)
    )
    return joined and document.norm(quantity.last) in ("on", "downhill", "uphill", "up", "flat", "with", "alone")


def _is_told(document: Document, quantity: Quantity) -> bool:
    """A verb of going before it, with nothing but fillers between, and nothing counted after it."""
    index = quantity.first - 1
    for _ in range(4):
        word = document.norm(index)
        if word not in _FILLERS or word in _VERBS or (word == "speed" and document.norm(index - 1) in ("top", "max")):
            break
        index -= 1
    labelled = document.norm(index) == "speed" and document.norm(index - 1) in ("top", "max", "maximum")
    return (document.norm(index) in _VERBS or labelled) and _ends(document, quantity.last)


def _ends(document: Document, index: int) -> bool:
    return index >= len(document.tokens) or document.tokens[index].kind == "mark" or document.norm(index) in _ENDS


def _is_wished(document: Document, quantity: Quantity) -> bool:
    """ "presently 15 mph, wants 20"."""
    return document.norm(quantity.first - 1) in _WISHES and _ends(document, quantity.last)


def _counts_holes(document: Document) -> bool:
    return any(document.norm(q.last) == "holes" for q in document.quantities)

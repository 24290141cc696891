"""Top speed: "15 mph", "24 km/h", "used to do 19", "tops out at 12"."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from triage.facts.candidate import Candidate, plain, words_basis
from triage.language import Document
from triage.language.quantities import Quantity
from triage.model import Standing

_KM_PER_MILE = 1.609344
_SPEEDS = frozenset({"mph", "km/h"})
_VERBS = frozenset(
    "maxes peaks does do doing did goes go going went runs run hit hits top tops reaches reach manages made locked "
    "limited governed capped".split()
)
_FILLERS = frozenset(
    "out at is down to of was about around only a good solid steady it now up to max maxes maxed speed gets get "
    "barely roughly maybe just like".split()
)
_ENDS = frozenset(
    "by how now tops max flat before b4 on and but maybe when at is are it i if or with b downhill uphill was then so "
    "these if mph".split()
)
_WISHES = frozenset({"want", "wants", "wanted", "like", "love", "after"})
_ROAD = frozenset("road roads limit zone street streets highway posted wind windspeed".split())
_DISTANCES = frozenset({"mile", "km"})
_THRESHOLDS = frozenset({"above", "beyond", "past", "over", "below", "under"})
_TOPS = frozenset({"speed", "whack", "end"})  # "top whack is 17"
_DID = frozenset("did ran went reached managed was got hit made".split())
_NOW_REACH = 4
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
            if not _is_of_road(document, quantity) and not _is_threshold(document, quantity):
                told_last = quantity
                yield _candidate(document, quantity, Standing.PAST if _is_former(document, quantity) else None)
        elif _is_bare(quantity) and quantity.value not in volts and not (distances and not speeds):
            before = _is_before(document, quantity)
            goes_on = told_last is not None and _goes_on(document, told_last, quantity)
            if before or goes_on or _is_told(document, quantity) or (speeds and _is_wished(document, quantity)):
                quantity = replace(quantity, unit=told_last.unit) if told_last and goes_on else quantity
                told_last = quantity
                yield _candidate(document, quantity, Standing.PAST if before else None)


def _candidate(document: Document, quantity: Quantity, standing: Standing | None = None) -> Candidate:
    factor = 1 / _KM_PER_MILE if quantity.unit == "km/h" else 1.0
    top = quantity.high if quantity.high is not None else quantity.value
    basis = words_basis(document, quantity.first, quantity.last)
    value = plain(round(top * factor, 1))
    if standing is None and quantity.high is not None:
        standing = Standing.HEDGED
    return Candidate("top_speed", value, quantity.first, quantity.last, "mph", basis=basis, standing=standing)


def _is_of_road(document: Document, quantity: Quantity) -> bool:
    """ "in a 20 mph zone", "the limit in our park is 15 mph"."""
    after = range(quantity.last, quantity.last + _ROAD_AFTER)
    before = range(max(0, quantity.first - _ROAD_BEFORE), quantity.first)
    return any(document.norm(i) in _ROAD for i in after) or any(
        document.norm(i) in ("limit", "posted") and document.same_clause(i, quantity.first) for i in before
    )


def _is_threshold(document: Document, quantity: Quantity) -> bool:
    """ "wanders above 10 mph": from when it does something, not how fast it goes."""
    return (
        document.norm(quantity.first - 1) in _THRESHOLDS and document.norm(quantity.first - 2) not in _VERBS | _FILLERS
    )


def _is_bare(quantity: Quantity) -> bool:
    low, high = _BARE
    return not quantity.unit and not quantity.decimal and quantity.high is None and low <= quantity.value <= high


def _is_before(document: Document, quantity: Quantity) -> bool:
    """ "dropped from 15 to 9 mph": what it was."""
    following = document.quantities_from(quantity.last + 1, 0)
    joined = document.norm(quantity.first - 1) == "from" and document.norm(quantity.last) == "to"
    return joined and any(q.unit in _SPEEDS and q.value < quantity.value for q in following)


def _is_former(document: Document, quantity: Quantity) -> bool:
    """ "was 12 mph now 7", "before 25 km/h, now maybe 8"."""
    former = document.norm(quantity.first - 1) in ("was", "before", "did", "earlier")
    if document.norm(quantity.first - 1) in _DID and document.norm(quantity.last) in ("before", "until", "till"):
        return True  # "ran 14 mph before the new tyres"
    return former and any(document.norm(i) == "now" for i in range(quantity.last, quantity.last + _NOW_REACH))


def _goes_on(document: Document, before: Quantity, quantity: Quantity) -> bool:
    """ "17 downhill and 14 on the level"."""
    gap = [document.norm(i) for i in range(before.last, quantity.first)]
    joined = (
        len(gap) <= 4 and gap[-1:] in (["and"], ["but"], [","]) and document.same_sentence(before.first, quantity.first)
    )
    turn = gap[:1] == ["now"] or gap[:2] == [",", "now"]
    here = document.norm(quantity.last) in ("on", "downhill", "uphill", "up", "flat", "with", "alone")
    return (joined and here) or (turn and len(gap) <= 4 and _ends(document, quantity.last))


def _is_told(document: Document, quantity: Quantity) -> bool:
    """A verb of going before it, with nothing but fillers between, and nothing counted after it."""
    index = quantity.first - 1
    for _ in range(4):
        word = document.norm(index)
        if word not in _FILLERS or word in _VERBS or (word in _TOPS and document.norm(index - 1) in ("top", "max")):
            break
        index -= 1
    labelled = document.norm(index) in _TOPS and document.norm(index - 1) in ("top", "max", "maximum")
    return (document.norm(index) in _VERBS or labelled) and _ends(document, quantity.last)


def _ends(document: Document, index: int) -> bool:
    return index >= len(document.tokens) or document.tokens[index].kind == "mark" or document.norm(index) in _ENDS


def _is_wished(document: Document, quantity: Quantity) -> bool:
    """ "presently 15 mph, wants 20", "book says 20"."""
    before, earlier = document.norm(quantity.first - 1), document.norm(quantity.first - 2)
    book = before == "book" or (before == "says" and earlier == "book")
    return (book or before in _WISHES) and _ends(document, quantity.last)


def _counts_holes(document: Document) -> bool:
    return any(document.norm(q.last) == "holes" for q in document.quantities)

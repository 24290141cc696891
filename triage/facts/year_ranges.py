"""Two years offered side by side are a range: "oh two I think or oh three", "sixties or seventies"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from triage.facts.candidate import Candidate
from triage.facts.catalogue import years_of
from triage.facts.spoken_years import year_candidate
from triage.language import Document

_BETWEEN = frozenset("or i think maybe possibly perhaps even a an guess it is its ? , the could be might".split())
_JOINTS = frozenset({"or", "maybe", "possibly", "perhaps", "could", "might"})
_REACH = 6  # words between the two
_WIDEST = 5  # years
_TWO_DECADES = 19  # years from the first of one to the last of the next


def joined(candidates: Sequence[Candidate], document: Document) -> Iterator[Candidate]:
    """The candidates, with two years that are offered as one or the other made a range."""
    years = sorted((c for c in candidates if c.name == "year"), key=lambda c: c.first)
    ranges = [(one, two) for one, two in pairwise(years) if _are_offered(document, one, two)]
    taken = {id(year) for pair in ranges for year in pair}
    yield from (candidate for candidate in candidates if id(candidate) not in taken)
    for one, two in ranges:
        low, high = _span(one, two)
        yield year_candidate(document, f"{low}-{high}", one.first, two.last)


def _span(one: Candidate, two: Candidate) -> tuple[int, int]:
    """First and last year of both."""
    told = [years for candidate in (one, two) if (years := years_of(candidate.value))]
    return min(low for low, _ in told), max(high for _, high in told)


def _are_offered(document: Document, one: Candidate, two: Candidate) -> bool:
    low, high = _span(one, two)
    decades = isinstance(one.value, str) and isinstance(two.value, str)
    if one.value == two.value or isinstance(one.value, str) != isinstance(two.value, str):
        return False
    gap = {document.norm(i) for i in range(one.last, two.first)}
    near = two.first - one.last <= _REACH and high - low <= (_TWO_DECADES if decades else _WIDEST)
    return near and gap <= _BETWEEN and bool(gap & _JOINTS)

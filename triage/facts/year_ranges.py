"""Two years offered side by side are a range: "oh two I think or oh three", "either an 04 or an 05"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from triage.facts.candidate import Candidate
from triage.facts.spoken_years import year_candidate
from triage.language import Document

_BETWEEN = frozenset("or i think maybe possibly perhaps even a an guess it is its ? , the could be".split())
_JOINTS = frozenset({"or", "maybe", "possibly", "perhaps"})
_REACH = 6  # words between the two
_WIDEST = 5  # years


def joined(candidates: Sequence[Candidate], document: Document) -> Iterator[Candidate]:
    """The candidates, with two years that are offered as one or the other made a range."""
    years = sorted((c for c in candidates if c.name == "year"), key=lambda c: c.first)
    ranges = [(one, two) for one, two in pairwise(years) if _are_offered(document, one, two)]
    taken = {id(year) for pair in ranges for year in pair}
    yield from (candidate for candidate in candidates if id(candidate) not in taken)
    for one, two in ranges:
        low, high = sorted((int(str(one.value)), int(str(two.value))))
        yield year_candidate(document, f"{low}-{high}", one.first, two.last)


def _are_offered(document: Document, one: Candidate, two: Candidate) -> bool:
    if not isinstance(one.value, int) or not isinstance(two.value, int):
        return False
    gap = {document.norm(i) for i in range(one.last, two.first)}
    near = two.first - one.last <= _REACH and 0 < abs(two.value - one.value) <= _WIDEST
    return near and gap <= _BETWEEN and bool(gap & _JOINTS)

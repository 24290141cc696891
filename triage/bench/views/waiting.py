"""The list of those who wait: one line each, danger first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from triage.bench.views.wording import DECISION, STATE, waiting
from triage.desk import OURS
from triage.store import FOUND_MARKS, UNREAD, Claim, QueueRow, ThreadState

SERIOUS = 1  # ranks up to this are DANGER and WARNING, happening now


@dataclass(frozen=True, slots=True)
class Piece:
    """Part of a line; `hit` where a word searched for stands."""

    text: str
    hit: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One thread: who, which vehicle, what is wrong, what is missing."""

    thread: int
    sign: str  # "!!" serious danger told, "!" lesser, "?" not read yet, "" none
    sign_says: str
    waits: str
    who: str
    vehicle: str
    wrong: tuple[Piece, ...]
    missing: str
    stands: str
    taken_by: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """Lines under one heading."""

    title: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Count:
    """How many threads stand in a state, and where its list is."""

    state: str
    label: str
    count: int
    chosen: bool


@dataclass(frozen=True, slots=True)
class Waiting:
    """All that the list shows."""

    groups: tuple[Group, ...]
    counts: tuple[Count, ...]
    ours: int  # threads that wait for us
    shown: int
    more: bool  # there are further lines


def waiting_list(
    rows: Sequence[QueueRow],
    counts: Mapping[ThreadState, int],
    claims: Mapping[int, Claim],
    now: datetime,
    *,
    chosen: str = "",
    searched: bool = False,
    most: int = 100,
) -> Waiting:
    """The list; `rows` may hold one more than `most`, which tells that there are further ones."""
    lines = [(row, line_of(row, claims.get(row.thread), now)) for row in rows[:most]]
    groups = (Group("Found", tuple(line for _, line in lines)),) if searched and lines else tuple(_grouped(lines))
    ours = sum(counts.get(state, 0) for state in OURS)
    return Waiting(groups, tuple(_counts(counts, chosen)), ours, len(lines), len(rows) > most)


def _grouped(lines: Iterable[tuple[QueueRow, Line]]) -> Iterator[Group]:
    for title, members in groupby(lines, key=lambda pair: _heading(pair[0].danger)):
        yield Group(title, tuple(line for _, line in members))


def _heading(danger: int) -> str:
    if danger < UNREAD:
        return "Danger told"
    return "Not read yet" if danger == UNREAD else "Longest wait first"


def line_of(row: QueueRow, claim: Claim | None, now: datetime) -> Line:
    """One thread as its line."""
    sign, says = _sign(row.danger)
    return Line(
        row.thread,
        sign,
        says,
        waiting(now, row.waiting_since),
        row.asker.name or row.asker.email or "no name given",
        row.summary.vehicle or "vehicle not told",
        tuple(_pieces(row)),
        ", ".join(name.replace("_", " ") for name in row.summary.missing[:3]),
        _stands(row),
        claim.person if claim else "",
    )


def _sign(danger: int) -> tuple[str, str]:
    if danger <= SERIOUS:
        return "!!", "serious danger told"
    if danger < UNREAD:
        return "!", "danger told"
    return ("?", "not read yet") if danger == UNREAD else ("", "")


def _stands(row: QueueRow) -> str:
    if row.state is ThreadState.READY and row.decision:
        return DECISION[row.decision]
    return STATE[row.state]


def _pieces(row: QueueRow) -> Iterator[Piece]:
    if not row.found:
        yield Piece(" ".join((row.summary.wrong or row.subject or "no subject").split()))
        return
    begin, end = FOUND_MARKS
    before, *rest = " ".join(row.found.split()).split(begin)
    yield Piece(before)
    for part in rest:
        hit, _, after = part.partition(end)
        yield Piece(hit, hit=True)
        yield Piece(after)


def _counts(counts: Mapping[ThreadState, int], chosen: str) -> Iterator[Count]:
    for state, count in counts.items():
        if count or state.value == chosen:
            yield Count(state.value, STATE[state], count, state.value == chosen)

"""The clock of the hour: when each item starts, between which times it may start, what to drop and what to add."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

from triage.segment.programme import Candidate, Programme, Slot
from triage.segment.timing import WORDS_PER_MINUTE, seconds
from triage.segment.worth import Weights, worth

TRIED = 10  # questions of which every choice is tried for dropping; of more, the least worth ones
GRACE = 20.0  # s over that nobody needs to act upon


class Item(StrEnum):
    """The kinds of item in an hour, in the order of the sheet."""

    OPENING = "opening"
    TIP = "tip"
    QUESTION = "question"
    LIVE = "live"
    CLOSING = "closing"


@dataclass(frozen=True, slots=True)
class ClockRow:
    """One item; times in seconds from the start of the hour.

    Started before `early`, there is room to add what `add` names, the live reserve kept. Started after `late`, not
    even the live reserve covers what is left: leave out what `drop` names. Both hold thread numbers.
    """

    item: Item
    thread: int  # 0 where it is no question
    start: float
    length: float
    early: float
    late: float
    drop: tuple[int, ...] = ()
    add: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Advice:
    """How the hour stands. `spare` are seconds to spare, the live reserve kept; below nothing, seconds over."""

    left: float  # until the end
    spare: float
    reserve: float  # what is left of the live reserve
    drop: tuple[int, ...] = ()
    add: tuple[int, ...] = ()


def clock_plan(programme: Programme, words_per_minute: float = WORDS_PER_MINUTE) -> tuple[ClockRow, ...]:
    """The rows of the clock in the order of the sheet; live questions come after the planned ones."""
    items, total = list(_items(programme, words_per_minute)), programme.minutes * 60
    shortest = min((one.minutes * 60 for one in programme.spares), default=0.0)
    rows, at = [], 0.0
    for index, (item, thread, length) in enumerate(items):
        ahead = sum(other for _, _, other in items[index:])
        live = sum(other for kind, _, other in items[index:] if kind is Item.LIVE)
        rest = [slot for slot in programme.slots if slot.candidate.thread in {one for _, one, _ in items[index:]}]
        early, late = total - ahead - shortest, total - ahead + live
        add = _to_add(programme.spares, shortest) if early > 0 else ()
        rows.append(ClockRow(item, thread, at, length, max(0.0, early), late, _to_drop(rest, 1.0), add))
        at += length
    return tuple(rows)


def _items(programme: Programme, rate: float) -> Iterator[tuple[Item, int, float]]:
    yield Item.OPENING, 0, seconds(programme.opening, rate)
    if programme.tip:
        yield Item.TIP, 0, seconds(programme.tip.text, rate)
    for slot in programme.slots:
        yield Item.QUESTION, slot.candidate.thread, slot.minutes * 60
    yield Item.LIVE, 0, programme.reserve * 60
    yield Item.CLOSING, 0, seconds(programme.closing, rate)


def advice(
    programme: Programme,
    elapsed: float,
    *,
    handled: Collection[int] = (),
    at: int = 0,
    spent: float = 0.0,
    live: float = 0.0,
    begun: bool = True,
    rate: float = WORDS_PER_MINUTE,
) -> Advice:
    """How the hour stands `elapsed` seconds in, and what to drop or add.

    `handled` are the questions that are through, `at` the one being said since `spent` seconds, `live` the seconds
    that live questions took, `begun` whether opening and tip are over. A locked question is never dropped, nor the
    one being said. The live reserve gives way before a question does.
    """
    ahead = [slot for slot in programme.slots if slot.candidate.thread not in handled]
    needed = sum(_still(slot, at, spent) for slot in ahead) + seconds(programme.closing, rate)
    if not begun:
        opening = seconds(programme.opening, rate) + (seconds(programme.tip.text, rate) if programme.tip else 0.0)
        needed += max(0.0, opening - elapsed)
    reserve = max(0.0, programme.reserve * 60 - live)
    left = programme.minutes * 60 - elapsed
    spare = left - needed - reserve
    over = -(spare + reserve)
    rest = [slot for slot in ahead if slot.candidate.thread != at]
    drop = _to_drop(rest, over) if over > GRACE else ()
    fresh = [one for one in programme.spares if one.thread not in handled and one.thread != at]
    return Advice(left, spare, reserve, drop, _to_add(fresh, spare) if spare > 0 else ())


def _still(slot: Slot, at: int, spent: float) -> float:
    """Seconds a question still takes; the one being said at least nothing."""
    return max(0.0, slot.minutes * 60 - (spent if slot.candidate.thread == at else 0.0))


def _to_drop(slots: Sequence[Slot], over: float) -> tuple[int, ...]:
    """Of the questions ahead the ones of least worth that free `over` seconds; where that is too few, all of them."""
    free = sorted((slot for slot in slots if not slot.locked), key=lambda slot: (_worth(slot.candidate), -slot.place))
    free = free[:TRIED]
    if sum(slot.minutes for slot in free) * 60 < over:
        return tuple(slot.candidate.thread for slot in free)
    choices = (choice for size in range(1, len(free) + 1) for choice in combinations(free, size))
    enough = [choice for choice in choices if sum(slot.minutes for slot in choice) * 60 >= over]
    if not enough:
        return ()
    best = min(enough, key=lambda choice: sum(_worth(slot.candidate) for slot in choice))
    return tuple(slot.candidate.thread for slot in best)


def _worth(candidate: Candidate) -> float:
    return worth(candidate, Weights())


def _to_add(spares: Sequence[Candidate], room: float) -> tuple[int, ...]:
    """The first of the spares that fits, and the next ones while there is room; they come best first."""
    added: list[int] = []
    for one in spares:
        if one.minutes * 60 <= room + 1e-6:
            added.append(one.thread)
            room -= one.minutes * 60
    return tuple(added)

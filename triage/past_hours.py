"""What the hours that were on air leave for the next: what was said of which matter, what was not reached, tips."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TypeVar

from triage.segment.programme import Programme, Said, Spoken
from triage.store import Store

Key = TypeVar("Key")


@dataclass(frozen=True, slots=True)
class Past:
    """What earlier programmes leave for this one."""

    aired: Mapping[str, tuple[date, ...]] = field(default_factory=dict)  # topic -> days
    said_on: Mapping[int, tuple[date, ...]] = field(default_factory=dict)  # thread -> days
    postponed: frozenset[int] = frozenset()  # on the last sheet, and not reached
    tips: Mapping[str, date] = field(default_factory=dict)  # tip -> last day


def past_before(store: Store, day: date) -> Past:
    """What the programmes on air before a day leave for it."""
    aired: dict[str, list[date]] = defaultdict(list)
    said_on: dict[int, list[date]] = defaultdict(list)
    postponed: frozenset[int] = frozenset()
    tips: dict[str, date] = {}
    for programme in store.programmes.weeks():
        if not programme.aired or programme.day >= day:
            continue
        reached = reached_in(programme, store.programmes.said(programme.day))
        for slot in programme.slots:
            if slot.candidate.thread in reached:
                aired[slot.candidate.topic].append(programme.day)
                said_on[slot.candidate.thread].append(programme.day)
        postponed = frozenset(slot.candidate.thread for slot in programme.slots) - reached
        if programme.tip:
            tips[programme.tip.id] = programme.day
    return Past(_frozen(aired), _frozen(said_on), postponed, tips)


def reached_in(programme: Programme, notes: Sequence[Said]) -> frozenset[int]:
    """The questions of a programme that were said; without a single note, all of them."""
    how = {note.thread: note.how for note in notes}
    threads = [slot.candidate.thread for slot in programme.slots]
    if not how.keys() & set(threads):
        return frozenset(threads)
    return frozenset(thread for thread in threads if how.get(thread, Spoken.POSTPONED) is not Spoken.POSTPONED)


def _frozen(lists: Mapping[Key, list[date]]) -> dict[Key, tuple[date, ...]]:
    return {key: tuple(days) for key, days in lists.items()}

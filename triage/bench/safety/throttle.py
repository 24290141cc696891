"""Guessing made slow: after some failures each further try must wait longer."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from datetime import datetime, timedelta
from threading import Lock

FORGOTTEN = timedelta(minutes=15)  # after this long without a try
LONGEST = timedelta(minutes=10)
MOST_KEYS = 10_000


@dataclass(frozen=True, slots=True)
class _Tries:
    count: int
    last: datetime


class Throttle:
    """Counts tries by key (a name, an address) in memory; `free` of them cost nothing.

    A restart forgives, and nobody whose name is guessed at is shut out for good.
    """

    def __init__(self, free: int) -> None:
        self._free = free
        self._tries: OrderedDict[str, _Tries] = OrderedDict()
        self._lock = Lock()

    def attempt(self, key: str, now: datetime) -> timedelta:
        """Zero, and the try is counted, before its outcome is known; else how long to wait."""
        with self._lock:
            made = self._recent(key, now)
            wait = max(made.last + self._pause(made.count) - now, timedelta())
            if not wait:
                self._count(key, _Tries(made.count + 1, now))
        return wait

    def forget(self, key: str) -> None:
        """The try was right: the key starts afresh."""
        with self._lock:
            self._tries.pop(key, None)

    def _pause(self, count: int) -> timedelta:
        """2 s after the free ones, twice as long after each further one."""
        over = count - self._free
        return min(timedelta(seconds=2 ** min(over + 1, 20)), LONGEST) if over >= 0 else timedelta()

    def _recent(self, key: str, now: datetime) -> _Tries:
        made = self._tries.get(key)
        return made if made and now - made.last < FORGOTTEN else _Tries(0, now)

    def _count(self, key: str, tries: _Tries) -> None:
        """The keys tried longest ago are dropped when there are too many."""
        self._tries[key] = tries
        self._tries.move_to_end(key)
        while len(self._tries) > MOST_KEYS:
            self._tries.popitem(last=False)

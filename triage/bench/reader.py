"""Reads what arrives while the workbench runs, in a thread of its own."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from threading import Event, Thread

from triage.bench.office import Office
from triage.desk import read_open, read_thread
from triage.store import Filters, Store, StoreError, ThreadState

LOOK_EVERY = 3.0  # seconds
MOST_AT_ONCE = 500
log = logging.getLogger("triage.bench")


class Reader:
    """Looks for unread threads every few seconds; a store that is busy is tried again the next time."""

    def __init__(self, office: Office, pause: float = LOOK_EVERY) -> None:
        self._office = office
        self._pause = pause
        self._stopping = Event()
        self._thread = Thread(target=self._run, name="reader", daemon=True)

    def start(self) -> None:
        """Begin to look."""
        self._thread.start()

    def stop(self) -> None:
        """Finish the thread being read, then end."""
        self._stopping.set()
        if self._thread.is_alive():
            self._thread.join(10)

    def _run(self) -> None:
        seen = -1
        while not self._stopping.is_set():
            seen = self._look(seen)
            self._stopping.wait(self._pause)

    def _look(self, seen: int) -> int:
        """Read what is new; nothing is looked for while the history has not grown since `seen`."""
        try:
            with self._office.store() as store:
                latest = store.together.latest()  # before reading: what arrives meanwhile is looked for the next time
                if latest != seen:
                    self._read(store, every=seen < 0)
                return latest
        except StoreError as error:
            log.warning("could not read what is new: %s", error)
            return seen

    def _read(self, store: Store, *, every: bool) -> None:
        """One thread at a time, so that a person's own reading need not wait for all of them.

        At the start all that is ours is looked through (the pack may have changed); later only what is new.
        """
        going = read_open(store, self._office.stages) if every else self._new(store)
        while not self._stopping.is_set():
            with self._office.reading:
                if next(going, None) is None:
                    return

    def _new(self, store: Store) -> Iterator[int]:
        for row in store.queue(Filters(states=(ThreadState.NEW,), limit=MOST_AT_ONCE)):
            read_thread(store.thread(row.thread), store, self._office.stages)
            yield row.thread

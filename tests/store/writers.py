"""Programs that the tests start in processes of their own: they take in mail until they end or are ended.

Run as `python writers.py FILE FIRST COUNT EVERY [FILE_SIZE_LIMIT]`; prints the number of each message done.
"""

from __future__ import annotations

import resource
import sys
from datetime import UTC, datetime
from pathlib import Path

from triage.model import Address, Message
from triage.store import Store, StoreFull


def numbered(number: int) -> Message:
    """Message `number`: every third one answers the one before, so that threads grow."""
    parent = (f"m{number - 1}@mail.example",) if number % 3 == 2 else ()
    text = f"question {number} " + " ".join(f"{number * k % 997:x}" for k in range(200))
    return Message(
        id=f"m{number}@mail.example",
        channel="mail",
        sender=Address(f"asker{number % 7}@mail.example"),
        subject=f"Cart {number}",
        text=text,
        references=parent,
        raw=text.encode(),
    )


def take_in_range(path: Path, first: int, count: int, every: int) -> None:
    """Take in messages `first` to `first + count - 1`, committing `every` so many."""
    opened = Store.open(path, now=lambda: datetime(2026, 11, 25, tzinfo=UTC), busy_seconds=60)
    with opened as store, store.batch(every):
        for number in range(first, first + count):
            store.take_in(numbered(number), by=f"writer {first}")
            print(number, flush=True)


def main() -> None:
    path, first, count, every, *limit = sys.argv[1:]
    if limit:
        resource.setrlimit(resource.RLIMIT_FSIZE, (int(limit[0]), int(limit[0])))
    try:
        take_in_range(Path(path), int(first), int(count), int(every))
    except StoreFull as full:
        print("FULL", full, flush=True)
        sys.exit(3)


if __name__ == "__main__":
    main()

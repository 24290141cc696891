"""One program at a time on a batch."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout

from triage.unusable import Unusable


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Let no other process work on the batch in this folder; the lock goes with the process, however it ends."""
    lock = FileLock(folder / ".lock", timeout=0)
    try:
        lock.acquire()
    except Timeout:
        raise Unusable(f"{folder}: another program is at work on this batch just now. Wait for it.") from None
    with lock:
        yield

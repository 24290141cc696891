"""The run: a few parts at a time go to the workers; each is written under its name when whole, then entered."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator, Set
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from dataclasses import dataclass
from pathlib import Path

from triage.batch.ledger import Done, Ledger
from triage.batch.plan import Part, PartRead
from triage.pack.atomic import write_files

Reads = Callable[[Part], PartRead]


@dataclass(frozen=True, slots=True)
class Step:
    """One part further: read now, or found done in the ledger."""

    done: Done
    now: bool


def run(
    parts: Iterable[Part], read: Reads, folder: Path, ledger: Ledger, executor: Executor, ahead: int
) -> Iterator[Step]:
    """Let the workers `read` what is not done yet. At most `ahead` parts are held at once, however long the history.

    A part lies in the folder before the ledger says so: ended in between, it is read again to the same bytes.
    Stopped before its end, nothing more is begun, and what the workers still do is dropped.
    """
    running: dict[Future[PartRead], Part] = {}
    try:
        for part in parts:
            if ledger.has(part.number, part.digest, folder / part.name):
                yield Step(ledger.done[part.number], now=False)
                continue
            running[executor.submit(read, part)] = part
            if len(running) >= ahead:
                yield from _finished(running, folder, ledger)
        while running:
            yield from _finished(running, folder, ledger)
    finally:
        for future in running:
            future.cancel()


def _finished(running: dict[Future[PartRead], Part], folder: Path, ledger: Ledger) -> Iterator[Step]:
    ready: Set[Future[PartRead]] = wait(running, return_when=FIRST_COMPLETED).done
    for future in ready:
        part = running.pop(future)
        yield Step(_kept(part, future.result(), folder, ledger), now=True)


def _kept(part: Part, found: PartRead, folder: Path, ledger: Ledger) -> Done:
    data = found.text.encode("utf-8", "replace")
    write_files({folder / part.name: data})
    digest = hashlib.sha256(data).hexdigest()
    done = Done(part.number, part.digest, found.messages, found.questions, found.set_aside, digest)
    ledger.enter(done)
    return done

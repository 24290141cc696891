"""One round of a mailbox: what came in, what was sent, what is to be read, and the drafts that follow from it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from filelock import FileLock, Timeout

from triage.desk import Tally, read_open
from triage.mailbox.drafts import Drafts, Settled, token_of
from triage.mailbox.incoming import Going, take_in_folder
from triage.mailbox.problems import MailboxError
from triage.mailbox.reminders import remind_waiting
from triage.mailbox.sent import record_sent
from triage.mailbox.server import Server
from triage.pack import Pack
from triage.pipeline import Stages
from triage.store import Store

BY = "mailbox"  # signs what was done here


@dataclass(frozen=True, slots=True)
class Round:
    """What one round did."""

    taken_in: Tally = field(default_factory=Tally)
    sent: tuple[int, ...] = ()  # threads answered by mails found in the sent folder
    read: int = 0
    reminded: int = 0
    drafts: Settled = field(default_factory=Settled)

    @property
    def is_quiet(self) -> bool:
        """True when nothing changed."""
        new = self.taken_in.total - self.taken_in.duplicate
        return not (new or self.sent or self.read or self.reminded or self.drafts.laid or self.drafts.removed)


def look(server: Server, store: Store, pack: Pack, going: Going = lambda: True) -> Round:
    """Take in what is new, then see what was sent: an asker who wrote again after a reply is open again."""
    tally = Tally()
    for folder in server.account.folders:
        tally += take_in_folder(server, folder, store, pack, by=BY, going=going)
    return Round(tally, record_sent(server, store, token_of(store, by=BY), by=BY))


@dataclass(frozen=True)
class Reading:
    """The models, and whose turn it is to use them."""

    stages: Stages
    turn: AbstractContextManager[object] = field(default_factory=nullcontext)


def think(store: Store, reading: Reading, now: datetime, going: Going = lambda: True) -> tuple[int, int]:
    """Read what was not read yet and draft what is due; how many threads were read, and how many reminded of."""
    stages, read = reading.stages, 0
    threads = read_open(store, stages)
    while going():
        with reading.turn:
            if next(threads, None) is None:
                break
        read += 1
    return read, sum(1 for _ in remind_waiting(store, stages.pack, stages.book, now, by=BY))


def full_round(
    server: Server, store: Store, reading: Reading, drafts: Drafts, now: datetime, going: Going = lambda: True
) -> Round:
    """Everything, in the order in which one thing follows from another."""
    seen = look(server, store, reading.stages.pack, going)
    read, reminded = think(store, reading, now, going)
    return Round(seen.taken_in, seen.sent, read, reminded, drafts.settle(server))


@contextmanager
def alone(store: Path, mailbox: str) -> Iterator[None]:
    """Let no other process work on the mailbox for this store; the lock goes with the process, however it ends.

    Raises MailboxError where another has it.
    """
    name = "".join(sign if sign.isalnum() else "_" for sign in mailbox)
    lock = FileLock(store.with_name(f"{store.name}.{name}.lock"), timeout=0)
    try:
        lock.acquire()
    except Timeout:
        raise MailboxError(
            f"Another program of yours is at work on mailbox {mailbox} just now. Try again later."
        ) from None
    with lock:
        yield

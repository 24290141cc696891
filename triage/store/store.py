"""The store: the queue in one SQLite file, behind one narrow interface."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from sqlite_utils import Database

from triage.model import Draft, Fact, Message, Question, Reading, Rejected
from triage.store import (
    answering,
    arrivals,
    facts,
    forgetting,
    joining,
    listing,
    messages,
    moves,
    prior,
    readings,
    settings,
    threads,
)
from triage.store.change import Change
from triage.store.codec import moment_text
from triage.store.errors import in_plain_words
from triage.store.forgetting import Forgotten
from triage.store.mailboxes import Mailboxes
from triage.store.opening import open_database
from triage.store.programmes import Programmes
from triage.store.proposals import Proposals
from triage.store.staff import Staff
from triage.store.states import EVERY, ThreadState
from triage.store.together import Together
from triage.store.transactions import Transactions
from triage.store.values import (
    Filters,
    HistoryEntry,
    Prior,
    QueueRow,
    SavedReading,
    SetAsideMail,
    Summary,
    TakenIn,
    Thread,
    What,
)

BUSY_SECONDS = 5.0  # how long to wait for another program's writing


class Store:
    """The queue. Every change is one transaction and says `by` whom; use one Store in one thread at a time.

    Methods raise StoreError or one of its kinds: StoreBusy, StoreFull, MoveRefused, NotFound.
    """

    def __init__(self, db: Database, path: Path, now: Callable[[], datetime]) -> None:
        self.path = path
        self._db = db
        self._now = now
        self._transactions = Transactions(db)

    @classmethod
    def open(
        cls,
        path: Path,
        *,
        now: Callable[[], datetime],
        create: bool = True,
        busy_seconds: float = BUSY_SECONDS,
    ) -> Self:
        """Open the store in the file `path`, making or updating it; `now` is the clock (aware moments)."""
        at = moment_text(now())
        return cls(open_database(path, at=at, create=create, busy_seconds=busy_seconds), path, now)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        with in_plain_words(self.path):
            self._db.close()

    # Taking in

    def take_in(
        self,
        arrived: Message | Rejected,
        *,
        by: str,
        subject_key: str = "",
        questions: Sequence[Question] = (),
    ) -> TakenIn:
        """Keep what arrived, once, in the thread it belongs to.

        `subject_key` is the base subject (RFC 5256), of every message: it finds replies whose parents
        are unknown.
        """
        with self._change(by) as change:
            if isinstance(arrived, Rejected):
                return arrivals.take_in_rejected(change, arrived)
            return arrivals.take_in_message(change, arrived, subject_key, questions)

    @contextmanager
    def batch(self, every: int = 200) -> Iterator[None]:
        """Commit only after `every` changes: for taking in thousands of messages.

        Each change stays whole. What is finished is kept also when the block ends by an error.
        """
        self._transactions.begin_batch(every)
        try:
            yield
        finally:
            with in_plain_words(self.path):
                self._transactions.end_batch()

    def split_off(self, message_id: str, *, by: str) -> int:
        """Give a message that was put into the wrong thread a thread of its own; return its number."""
        with self._change(by) as change:
            return joining.split_off(change, message_id)

    # Working on a thread

    def save_reading(
        self,
        thread_id: int,
        *read: Reading,
        pack_digest: str,
        by: str,
        summary: Summary | None = None,
    ) -> None:
        """Keep the readings of all questions of a thread, made together, as its present ones."""
        with self._change_of(thread_id, by) as (change, thread):
            readings.save(change, thread, read, summary or Summary(), pack_digest)

    def save_draft(self, thread_id: int, draft: Draft, *, by: str) -> int:
        """Keep a draft as the next version (returned); the thread is then ready to reply."""
        with self._change_of(thread_id, by) as (change, thread):
            return answering.save_draft(change, thread, draft)

    def record_reply(
        self,
        thread_id: int,
        text: str,
        *,
        by: str,
        subject: str = "",
        how: str = "mail",
        message_id: str = "",
        asks: bool = False,
        sent: datetime | None = None,
    ) -> None:
        """Keep what was sent or told; with `asks` the thread then waits for the asker's facts.

        `sent` says when, where that is not now; the thread stays where it is when its asker wrote again after that.
        """
        with self._change_of(thread_id, by) as (change, thread):
            answering.record_reply(
                change, thread, text, subject=subject, how=how, message_id=message_id, asks=asks, sent=sent
            )

    def note(self, thread_id: int, text: str, *, by: str) -> None:
        """Leave a note for colleagues in the thread's history."""
        with self._change_of(thread_id, by) as (change, thread):
            change.record(thread, What.NOTE, after={"text": text})

    def settle(self, thread_id: int, *, by: str, outcome: str = "") -> None:
        """Close the thread; `outcome` says what helped, for the answer base."""
        with self._change_of(thread_id, by) as (change, thread):
            if moves.move(change, thread, ThreadState.SETTLED, why=outcome):
                change.update_thread(thread, {"outcome": outcome})

    def reopen(self, thread_id: int, *, by: str, why: str = "") -> None:
        """Bring the thread back to new."""
        self._move(thread_id, ThreadState.NEW, by, why)

    def set_aside(self, thread_id: int, *, by: str, why: str = "") -> None:
        """Take the thread out of the queue without an answer."""
        self._move(thread_id, ThreadState.SET_ASIDE, by, why)

    def undo(self, thread_id: int, *, by: str) -> ThreadState:
        """Take back the last change of state not yet taken back; return the state the thread has again."""
        with self._change_of(thread_id, by) as (change, thread):
            return moves.undo(change, thread)

    def set_fact(self, thread_id: int, *given: Fact, by: str) -> None:
        """Override what was read: these facts replace all others of their vehicle and name."""
        with self._change_of(thread_id, by) as (change, thread):
            facts.set_facts(change, thread, given)

    def withdraw_fact(self, thread_id: int, name: str, *, by: str, vehicle: int = 1) -> None:
        """Take back what a person set; what was read counts again."""
        with self._change_of(thread_id, by) as (change, thread):
            facts.withdraw_fact(change, thread, name, vehicle)

    # Looking

    def thread(self, thread_id: int) -> Thread:
        """One thread with all that belongs to it; a number joined to another gives that other."""
        with self._look() as db:
            return threads.load(db, threads.present_number(db, thread_id))

    def each_thread(self, states: tuple[ThreadState, ...] = EVERY) -> Iterator[Thread]:
        """Every thread in these states, oldest first; the store may be changed while going through them."""
        with self._look() as db:
            numbers = threads.numbers(db, states)
        for number in numbers:
            yield self.thread(number)

    def queue(self, filters: Filters | None = None) -> list[QueueRow]:
        """The rows to work on: the most dangerous first, then who has waited longest."""
        with self._look() as db:
            return listing.rows(db, filters or Filters())

    def search(self, words: str, filters: Filters | None = None) -> list[QueueRow]:
        """Threads with a message that holds every word, best first; in every state unless filtered."""
        with self._look() as db:
            return listing.search(db, words, filters or Filters(states=EVERY))

    def counts(self) -> dict[ThreadState, int]:
        """How many threads stand in each state."""
        with self._look() as db:
            return listing.counts(db)

    def history(self, thread_id: int | None) -> list[HistoryEntry]:
        """Who did what on a thread, oldest first; None for what belongs to no thread."""
        with self._look() as db:
            return threads.history(db, None if thread_id is None else threads.present_number(db, thread_id))

    def prior(self, thread_id: int) -> tuple[Prior, ...]:
        """Earlier threads of the same asker (address, else name and number) or vehicle; newest first, 50 at most."""
        with self._look() as db:
            return prior.prior(db, threads.present_number(db, thread_id))

    def readings(self, thread_id: int) -> tuple[SavedReading, ...]:
        """Every reading ever saved of a thread, oldest first."""
        with self._look() as db:
            return readings.of_thread(db, threads.present_number(db, thread_id), every=True)

    def header_id(self, message_id: str) -> str:
        """The Message-ID that a message came with; it is kept under another id where that was taken already."""
        with self._look() as db:
            return messages.header_id(db, message_id)

    def raw(self, message_id: str) -> bytes:
        """The bytes of a message as they came."""
        with self._look() as db:
            return messages.raw_bytes(db, message_id)

    def rejected(self) -> list[SetAsideMail]:
        """What could not be taken in, in the order it came."""
        with self._look() as db:
            return arrivals.rejected(db)

    # Settings

    def setting(self, name: str, default: str = "") -> str:
        """A named value kept with the queue."""
        with self._look() as db:
            return settings.get(db, name, default)

    def set_setting(self, name: str, value: str, *, by: str) -> None:
        """Keep a named value with the queue."""
        with self._change(by) as change:
            settings.put(change, name, value)

    def changes(self) -> int:
        """A number that differs whenever somebody else wrote to the store since (SQLite's data_version)."""
        with self._look() as db:
            return int(db.execute("pragma data_version").fetchone()[0])

    # Mailboxes

    @property
    def mailboxes(self) -> Mailboxes:
        """The shop's mailboxes, and how far each was read."""
        return Mailboxes(self._change, self._look)

    # The weekly programme

    @property
    def programmes(self) -> Programmes:
        """The weekly programmes: planned, wished for and said."""
        return Programmes(self._change, self._look)

    # The answer base

    @property
    def proposals(self) -> Proposals:
        """What is proposed for the answer base."""
        return Proposals(self._change, self._look)

    # Several people

    @property
    def together(self) -> Together:
        """Who is at which thread, and writing that does not go over another's."""
        return Together(self._change, self._look, self._now)

    @property
    def staff(self) -> Staff:
        """Who may sign in at the workbench."""
        return Staff(self._change, self._look)

    # Forgetting

    def would_forget(self, who: str) -> Forgotten:
        """What `forget` would remove. Raises NotFound, or StoreError where several people are called so."""
        with self._look() as db:
            return forgetting.look(db, who)

    def forget(self, who: str, *, by: str) -> Forgotten:
        """Remove a person (by address, or name) from every table, and their words from the file; what was removed."""
        with self._change(by) as change:
            done = forgetting.forget(change, who)
        with in_plain_words(self.path):
            forgetting.leave_no_trace(self._db)
        return done

    # Within

    def _move(self, thread_id: int, to: ThreadState, by: str, why: str) -> None:
        with self._change_of(thread_id, by) as (change, thread):
            moves.move(change, thread, to, why=why)

    @contextmanager
    def _change(self, by: str) -> Iterator[Change]:
        if not by.strip():
            raise ValueError("Every change is signed: say by whom (a name, or the part of the program).")
        with in_plain_words(self.path), self._transactions.change():
            yield Change(self._db, by, moment_text(self._now()))

    @contextmanager
    def _change_of(self, thread_id: int, by: str) -> Iterator[tuple[Change, int]]:
        with self._change(by) as change:
            yield change, threads.present_number(change.db, thread_id)

    @contextmanager
    def _look(self) -> Iterator[Database]:
        with in_plain_words(self.path), self._transactions.look():
            yield self._db

"""Several people at one queue: who is at which thread, and no draft or reply written over another's unseen."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlite_utils import Database

from triage.model import Draft
from triage.store import answering
from triage.store.change import Change
from triage.store.codec import encodable, moment, moment_text
from triage.store.errors import StoreError
from triage.store.section import Section
from triage.store.threads import present_number
from triage.store.values import What

CLAIM_LASTS = timedelta(minutes=5)  # without a sign of life; an open page gives one every minute


class DraftMoved(StoreError):
    """Somebody saved a newer draft meanwhile; nothing was changed. `latest` is its version."""

    def __init__(self, thread: int, latest: int) -> None:
        super().__init__(f"The draft of thread {thread} was changed meanwhile: it is at version {latest} now.")
        self.latest = latest


class RepliedMeanwhile(StoreError):
    """A reply to the thread was recorded meanwhile; nothing was changed."""


@dataclass(frozen=True, slots=True)
class Claim:
    """Who is at a thread, since when, and until when without a further sign of life."""

    thread: int
    person: str
    since: datetime
    until: datetime


class Together(Section):
    """What several people at one store need to know of each other. Claims are a courtesy: they lock nothing."""

    def __init__(
        self,
        change: Callable[[str], AbstractContextManager[Change]],
        look: Callable[[], AbstractContextManager[Database]],
        now: Callable[[], datetime],
    ) -> None:
        super().__init__(change, look)
        self._now = now

    def claim(self, thread_id: int, *, by: str, take_over: bool = False) -> Claim:
        """Take the thread, or hold on to it; the claim of the one who has it, where that is another."""
        with self._change(by) as change:
            thread = present_number(change.db, thread_id)
            held = _held(change.db, thread, change.at)
            if held and held.person != by and not take_over:
                return held
            mine = held is not None and held.person == by
            since = moment_text(held.since) if held and mine else change.at
            until = moment_text(self._now() + CLAIM_LASTS)
            change.db.execute(
                "insert or replace into claims (thread, person, since, until) values (?, ?, ?, ?)",
                [thread, encodable(by), since, until],
            )
        return Claim(thread, by, moment(since), moment(until))

    def leave(self, thread_id: int, *, by: str) -> None:
        """Let go of the thread; another's claim stays."""
        with self._change(by) as change:
            thread = present_number(change.db, thread_id)
            change.db.execute("delete from claims where thread = ? and person = ?", [thread, encodable(by)])

    def be_only_at(self, thread_id: int, *, by: str) -> None:
        """Let go of every other thread this person is at; 0 for all of them."""
        with self._look() as db:
            sql = "select thread from claims where person = ? and thread != ?"
            others = [number for (number,) in db.execute(sql, [by, thread_id])]
        for number in others:
            self.leave(number, by=by)

    def claims(self) -> dict[int, Claim]:
        """Who is at which thread now."""
        with self._look() as db:
            rows = db.execute(f"{_CLAIMS} where until > ?", [moment_text(self._now())]).fetchall()
        return {row[0]: _claim(*row) for row in rows}

    def latest(self) -> int:
        """Number of the newest entry of the history: another number, and something has changed."""
        with self._look() as db:
            return int(db.execute("select coalesce(max(id), 0) from history").fetchone()[0])

    def save_draft(
        self, thread_id: int, draft: Draft, *, base: int, by: str, left_out: Mapping[str, str] | None = None
    ) -> int:
        """Keep a draft made from version `base` (0: none) as the next version. Raises DraftMoved.

        `left_out` says why the safety notes of these hazards are not in it; the history keeps it.
        """
        with self._change(by) as change:
            thread = present_number(change.db, thread_id)
            latest = change.db.execute("select count(*) from drafts where thread = ?", [thread]).fetchone()[0]
            if latest != base:
                raise DraftMoved(thread, latest)
            for hazard, why in (left_out or {}).items():
                change.record(thread, What.NOTE_DROPPED, after={"hazard": hazard, "why": why})
            return answering.save_draft(change, thread, draft)

    def keep_apart(self, thread_id: int, draft: Draft, *, base: int, by: str) -> None:
        """Keep words that could not become the draft in the history, so that they are not lost."""
        with self._change(by) as change:
            thread = present_number(change.db, thread_id)
            change.record(thread, What.KEPT_APART, after={"base": base, "text": draft.body})

    def record_reply(
        self, thread_id: int, text: str, *, seen: int, by: str, subject: str, how: str, asks: bool, why: str = ""
    ) -> None:
        """Keep what was sent or told by one who saw `seen` earlier replies. Raises RepliedMeanwhile."""
        with self._change(by) as change:
            thread = present_number(change.db, thread_id)
            replies = answering.replies_of_thread(change.db, thread)
            if len(replies) > seen:
                last = replies[-1]
                raise RepliedMeanwhile(
                    f"{last.by} has replied to thread {thread} meanwhile ({last.how}, {last.at:%d %b %H:%M} UTC). "
                    "Yours was not recorded: look at theirs first."
                )
            if why:
                change.record(thread, What.NOTE, after={"text": why})
            answering.record_reply(change, thread, text, subject=subject, how=how, message_id="", asks=asks)
            change.db.execute("delete from claims where thread = ?", [thread])


_CLAIMS = "select thread, person, since, until from claims"


def _held(db: Database, thread: int, at: str) -> Claim | None:
    row = db.execute(f"{_CLAIMS} where thread = ? and until > ?", [thread, at]).fetchone()
    return _claim(*row) if row else None


def _claim(thread: int, person: str, since: str, until: str) -> Claim:
    return Claim(thread, person, moment(since), moment(until))

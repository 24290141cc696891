"""One thread with all that belongs to it, and its history."""

from __future__ import annotations

import json

from sqlite_utils import Database

from triage.model import Address, Decision
from triage.store import answering, facts, messages, readings
from triage.store.codec import moment
from triage.store.errors import NotFound
from triage.store.states import ThreadState
from triage.store.values import HistoryEntry, Summary, Thread, What

_ONE = """
    select p.name, p.email, t.* from threads t join people p on p.id = t.asker where t.id = ?
"""


def present_number(db: Database, thread: int) -> int:
    """The number under which the thread goes on: its own, or that of the thread it was joined to."""
    sql = "select coalesce(merged_into, id) from threads where id = ?"
    row = db.execute(sql, [thread]).fetchone()
    if row is None:
        raise NotFound(f"There is no thread {thread}. The queue lists the numbers there are.")
    return int(row[0])


def load(db: Database, thread: int) -> Thread:
    """The thread of that present number."""
    row = next(db.query(_ONE, [thread]))
    state = ThreadState(row["state"])
    return Thread(
        id=thread,
        subject=row["subject"],
        asker=Address(email=row["email"], name=row["name"]),
        state=state,
        danger=row["danger"],
        decision=Decision(row["decision"]) if row["decision"] else None,
        opened_at=moment(row["opened_at"]),
        waiting_since=moment(row["waiting_since"]),
        summary=Summary(row["vehicle"], row["wrong"], tuple(json.loads(row["missing"]))),
        outcome=row["outcome"] if state == ThreadState.SETTLED else "",
        messages=messages.of_thread(db, thread),
        questions=messages.questions_of_thread(db, thread),
        readings=readings.of_thread(db, thread),
        facts=facts.standing_facts(db, thread),
        drafts=answering.drafts_of_thread(db, thread),
        replies=answering.replies_of_thread(db, thread),
    )


def numbers(db: Database, states: tuple[ThreadState, ...]) -> list[int]:
    """Numbers of the threads in these states, oldest first."""
    marks = ", ".join("?" * len(states))
    sql = f"select id from threads where merged_into is null and state in ({marks}) order by opened_at, id"
    return [number for (number,) in db.execute(sql, [state.value for state in states])]


def history(db: Database, thread: int | None) -> list[HistoryEntry]:
    """Who did what on the thread and those joined to it, oldest first; None for what belongs to no thread."""
    where = "thread is null"
    if thread is not None:
        where = "thread in (select id from threads where id = :thread or merged_into = :thread)"
    sql = f"select id, thread, at, by, what, before, after from history where {where} order by id"
    return [_entry(*row) for row in db.execute(sql, {"thread": thread})]


def _entry(number: int, thread: int | None, at: str, by: str, what: str, before: str, after: str) -> HistoryEntry:
    return HistoryEntry(number, thread, moment(at), by, What(what), json.loads(before), json.loads(after))

"""Which thread a message belongs to, and joining threads that turn out to be one.

Every Message-ID seen or referred to belongs to exactly one thread, so a reply that comes before its parent
leaves the parent's id behind, and the parent finds its place by it.
"""

from __future__ import annotations

import re

from sqlite_utils import Database

from triage.model import Message
from triage.store import facts
from triage.store.change import Change
from triage.store.codec import to_json
from triage.store.errors import NotFound, StoreError
from triage.store.moves import NEXT_IS_OURS, move, standing
from triage.store.states import ThreadState
from triage.store.values import UNREAD, What

# "Re:", "Fw:", "Fwd:", after list tags in brackets: subj-refwd of RFC 5256 section 5.
_REPLY = re.compile(r"\s*(?:\[[^\[\]]*\]\s*)*(?:re|fwd?)\s*(?:\[[^\[\]]*\]\s*)?:", re.IGNORECASE)

_MOVED_TABLES = ("messages", "message_ids", "questions", "readings", "facts_set", "drafts", "replies")


def parents(message: Message) -> list[str]:
    """Ids the message refers to, nearest first, each once (RFC 5322 section 3.6.4)."""
    return list(dict.fromkeys([*message.in_reply_to, *reversed(message.references)]))


def candidates(db: Database, message: Message, subject_key: str) -> list[int]:
    """Threads the message belongs to, nearest first; empty where it opens one of its own.

    By ids; else, for a reply whose parents are unknown, by base subject among the sender's own threads:
    never by subject alone.
    """
    return _by_ids(db, message) or _by_subject(db, message, subject_key)


def _by_ids(db: Database, message: Message) -> list[int]:
    rows = db.execute(
        """select distinct m.thread from message_ids m join json_each(?) wanted on wanted.value = m.header_id
           order by wanted.key""",
        [to_json(parents(message))],
    ).fetchall()
    return list(dict.fromkeys([*_by_own_id(db, message), *(thread for (thread,) in rows)]))


def _by_own_id(db: Database, message: Message) -> list[int]:
    """The thread that waits for this id; or holds another message of this sender under the same id."""
    rows = db.execute(
        """select thread from message_ids where header_id = ? and (known = 0 or exists
           (select 1 from messages where header_id = ? and sender_email = ?))""",
        [message.id, message.id, message.sender.email],
    )
    return [thread for (thread,) in rows]


def _by_subject(db: Database, message: Message, subject_key: str) -> list[int]:
    if not (subject_key and message.sender.email and _REPLY.match(message.subject)):
        return []
    rows = db.execute(
        """select thread from messages where subject_key = ? and sender_email = ?
           order by at desc, row desc limit 1""",
        [subject_key, message.sender.email],
    )
    return [thread for (thread,) in rows]


def join(change: Change, threads: list[int]) -> int:
    """Make one thread of those given (nearest first) and return it; a thread kept apart is never joined."""
    if len(threads) < 2:
        return threads[0]
    marks = ", ".join("?" * len(threads))
    rows = change.db.execute(f"select id from threads where apart and id in ({marks})", threads)
    apart = {thread for (thread,) in rows}
    if threads[0] in apart:
        return threads[0]
    survivor, *others = sorted(set(threads) - apart)
    for other in others:
        _absorb(change, survivor, other)
    return survivor


def _absorb(change: Change, survivor: int, other: int) -> None:
    _take_over_state(change, survivor, other)
    _take_over_summary(change, survivor, other)
    for table in _MOVED_TABLES:
        change.db.execute(f"update {table} set thread = ? where thread = ?", [survivor, other])
    change.db.execute("delete from facts where thread = ?", [other])
    change.db.execute("update threads set merged_into = ? where id = ? or merged_into = ?", [survivor, other, other])
    refresh_head(change, survivor)
    facts.refresh(change.db, survivor)
    change.record(survivor, What.JOINED, before={"thread": other}, after={"thread": survivor})


def _take_over_state(change: Change, survivor: int, other: int) -> None:
    """Threads that stood differently are new again: a person must look at what they are together."""
    here, there = standing(change, survivor), standing(change, other)
    if here.state == there.state:
        change.update_thread(survivor, {"waiting_since": min(here.since, there.since)})
    elif there.state != ThreadState.AUTOMATIC:
        since = min((s.since for s in (here, there) if s.state in NEXT_IS_OURS), default=change.at)
        move(change, survivor, ThreadState.NEW, why="threads joined", since=since)


def _take_over_summary(change: Change, survivor: int, other: int) -> None:
    """The more severe danger stays; the queue's strings come from the newer reading."""
    newest = change.db.execute(
        "select thread from readings where thread in (?, ?) order by round desc limit 1", [survivor, other]
    ).fetchone()
    columns = "decision = o.decision, vehicle = o.vehicle, wrong = o.wrong, missing = o.missing, "
    change.db.execute(
        f"""update threads set {columns if newest == (other,) else ""}
                danger = min(threads.danger, o.danger), opened_at = min(threads.opened_at, o.opened_at)
            from (select * from threads where id = ?) as o where threads.id = ?""",
        [other, survivor],
    )


def claim_id(change: Change, header_id: str, thread: int) -> None:
    """Say that a mail of that id went out from the thread; an answer taken in before joins it."""
    sql = "insert into message_ids (header_id, thread, known) values (?, ?, 1) on conflict (header_id) "
    change.db.execute(sql + "do update set known = 1", [header_id, thread])
    row = change.db.execute("select thread from message_ids where header_id = ?", [header_id]).fetchone()
    if row != (thread,):
        join(change, [thread, row[0]])


def refresh_head(change: Change, thread: int) -> None:
    """Name the thread after its earliest message by a person, whatever order they came in; count messages."""
    change.db.execute(
        """update threads set subject = first.subject, asker = first.asker, message_count = first.messages
           from (select subject, asker, count(*) over () as messages from messages where thread = :thread
                 order by automatic != '', at, row limit 1) as first
           where threads.id = :thread""",
        {"thread": thread},
    )


def split_off(change: Change, message_id: str) -> int:
    """Give a message a thread of its own, kept apart from now on; return its number."""
    sql = "select row, thread, header_id from messages where id = ?"
    row = change.db.execute(sql, [message_id]).fetchone()
    if row is None:
        raise NotFound(f"There is no message {message_id}.")
    message_row, old, header_id = row
    if change.db.execute("select count(*) from messages where thread = ?", [old]).fetchone()[0] < 2:
        raise StoreError(f"Message {message_id} is the only one of thread {old}: there is nothing to split.")
    thread = _open_apart(change, message_row)
    change.db.execute("update messages set thread = ? where row = ?", [thread, message_row])
    change.db.execute("update questions set thread = ? where message = ?", [thread, message_id])
    change.db.execute("update message_ids set thread = ? where header_id = ?", [thread, header_id])
    refresh_head(change, thread)
    refresh_head(change, old)
    for part in (old, thread):
        after = {"thread": thread, "message": message_id}
        change.record(part, What.SPLIT, before={"thread": old}, after=after)
    return thread


def _open_apart(change: Change, message_row: int) -> int:
    cursor = change.db.execute(
        """insert into threads (asker, subject, state, danger, waiting_since, opened_at, apart)
           select asker, subject, ?, ?, at, at, 1 from messages where row = ?""",
        [ThreadState.NEW.value, UNREAD, message_row],
    )
    return cursor.lastrowid or 0

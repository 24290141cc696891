"""Taking in: a message finds its thread or opens one; what was there already changes nothing."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from sqlite_utils import Database

from triage.model import Address, Message, Question, Rejected
from triage.store import joining, messages
from triage.store.change import Change
from triage.store.codec import content_digest, encodable, moment, moment_text, packed, unpacked
from triage.store.moves import move
from triage.store.states import ThreadState
from triage.store.values import NO_DANGER, UNREAD, Arrival, SetAsideMail, TakenIn, What


def take_in_message(change: Change, message: Message, subject_key: str, questions: Sequence[Question]) -> TakenIn:
    """Keep a message once. Another message under a Message-ID already used is kept under its own id."""
    message = encodable(message)
    digest = content_digest(message)
    twin = change.db.execute(
        "select thread, id from messages where header_id = ? and digest = ?", [message.id, digest]
    ).fetchone()
    if twin:
        return TakenIn(Arrival.DUPLICATE, *twin)
    found = joining.candidates(change.db, message, subject_key)
    thread = joining.join(change, found) if found else _open_thread(change, message)
    kept_as = _keep(change, message, digest, thread, subject_key)
    for position, question in enumerate(questions, start=1):
        messages.write_question(change, thread, kept_as, position, encodable(question))
    _announce(change, message, thread, kept_as, joined=bool(found))
    return TakenIn(Arrival.AUTOMATIC if message.automatic else Arrival.NEW, thread, kept_as)


def take_in_rejected(change: Change, rejected: Rejected) -> TakenIn:
    """Set aside something unreadable, once: known by its bytes, else by source and reason."""
    rejected = encodable(rejected)
    content = rejected.raw or f"{rejected.source}\n{rejected.reason}".encode()
    digest = hashlib.sha256(content).hexdigest()
    if change.db.execute("select 1 from rejected where digest = ?", [digest]).fetchone():
        return TakenIn(Arrival.DUPLICATE)
    change.insert("rejected", {
        "digest": digest, "source": rejected.source, "reason": rejected.reason,
        "bytes": packed(rejected.raw), "at": change.at,
    })  # fmt: skip
    change.record(None, What.REJECTED, after={"source": rejected.source, "reason": rejected.reason})
    return TakenIn(Arrival.REJECTED)


def rejected(db: Database) -> list[SetAsideMail]:
    """What was set aside, in the order it came."""
    rows = db.execute("select source, reason, bytes, at from rejected order by rowid").fetchall()
    return [SetAsideMail(Rejected(source, why, unpacked(raw)), moment(at)) for source, why, raw, at in rows]


def person(change: Change, who: Address) -> int:
    """The number of a person, by address, or by name where there is none; a name learnt later is added."""
    by = "email" if who.email else "name"
    key = who.email or who.name
    sql = f"select id, name from people where {by} = ?" + ("" if who.email else " and email = ''")
    row = change.db.execute(sql, [key]).fetchone()
    if row is None:
        return change.insert("people", {"name": who.name, "email": who.email})
    if who.name and not row[1]:
        change.db.execute("update people set name = ? where id = ?", [who.name, row[0]])
    return int(row[0])


def _open_thread(change: Change, message: Message) -> int:
    at = _written_at(change, message)
    return change.insert("threads", {
        "asker": person(change, message.sender), "subject": message.subject, "state": _first_state(message),
        "danger": NO_DANGER if message.automatic else UNREAD, "waiting_since": at, "opened_at": at,
    })  # fmt: skip


def _first_state(message: Message) -> str:
    return (ThreadState.AUTOMATIC if message.automatic else ThreadState.NEW).value


def _keep(change: Change, message: Message, digest: str, thread: int, subject_key: str) -> str:
    taken = change.db.execute("select 1 from messages where id = ?", [message.id]).fetchone()
    kept_as = f"{message.id}~{digest[:12]}" if taken else message.id
    messages.write(change, message, {
        "id": kept_as, "header_id": message.id, "digest": digest, "thread": thread,
        "asker": person(change, message.sender), "subject_key": encodable(subject_key),
        "at": _written_at(change, message), "taken_in_at": change.at,
    })  # fmt: skip
    _remember_ids(change, message, thread)
    return kept_as


def _remember_ids(change: Change, message: Message, thread: int) -> None:
    sql = "insert into message_ids (header_id, thread, known) values (?, ?, ?) on conflict (header_id) "
    change.db.execute(sql + "do update set known = 1", [message.id, thread, 1])
    for parent in joining.parents(message):
        change.db.execute(sql + "do nothing", [parent, thread, 0])


def _announce(change: Change, message: Message, thread: int, kept_as: str, *, joined: bool) -> None:
    """History, and back to new: whoever writes again on a thread waits for us again."""
    change.record(thread, What.ARRIVED, after={"message": kept_as})
    joining.refresh_head(change, thread)
    if joined and not message.automatic:
        since = _written_at(change, message)
        move(change, thread, ThreadState.NEW, why="a message arrived", since=since)
        sql = "update threads set danger = min(danger, ?), waiting_since = min(waiting_since, ?) where id = ?"
        change.db.execute(sql, [UNREAD, since, thread])


def _written_at(change: Change, message: Message) -> str:
    """When it was written, but never later than now: a clock set wrong must not hide a question."""
    return min(moment_text(message.sent), change.at) if message.sent else change.at

"""Drafts and replies: what we mean to say, and what was sent or told."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from sqlite_utils import Database

from triage.contract import draft_from_json, draft_to_json
from triage.model import Draft
from triage.store import joining
from triage.store.change import Cell, Change
from triage.store.codec import encodable, moment, moment_text, to_json
from triage.store.difference import changes, shared
from triage.store.moves import move
from triage.store.states import ThreadState
from triage.store.values import DraftVersion, Reply, What


def save_draft(change: Change, thread: int, draft: Draft) -> int:
    """Keep a draft as the next version and mark the thread ready to reply; return the version."""
    change.signed("drafts", {"thread": thread, "draft": to_json(draft_to_json(draft))})
    version: int = change.db.execute("select count(*) from drafts where thread = ?", [thread]).fetchone()[0]
    change.record(thread, What.DRAFT, after={"version": version})
    move(change, thread, ThreadState.READY, why=f"draft {version} saved")
    return version


def drafts_of_thread(db: Database, thread: int) -> tuple[DraftVersion, ...]:
    """The thread's drafts, oldest first."""
    rows = db.execute("select draft, by, at from drafts where thread = ? order by id", [thread]).fetchall()
    return tuple(
        DraftVersion(version, draft_from_json(json.loads(draft)), by, moment(at))
        for version, (draft, by, at) in enumerate(rows, start=1)
    )


def record_reply(
    change: Change,
    thread: int,
    text: str,
    *,
    subject: str,
    how: str,
    message_id: str,
    asks: bool,
    sent: datetime | None = None,
) -> None:
    """Keep what was sent or told; the thread then waits for the asker, or is replied.

    A reply sent before the asker's latest message does not answer it: the thread stays where it is.
    """
    at = min(moment_text(sent), change.at) if sent else change.at
    row: dict[str, Cell] = {
        "thread": thread,
        "subject": subject,
        "text": text,
        "how": how,
        "message_id": message_id,
    }
    version, changed = _made_from(drafts_of_thread(change.db, thread), text)
    ids = [id for (id,) in change.db.execute("select id from drafts where thread = ? order by id", [thread])]
    made = {**row, "draft": ids[version - 1] if version else None, "changed": changed}
    number = replace(change, at=at).signed("replies", made)
    after = {"reply": number, "how": how, "asks": asks} | ({"draft": version} if version else {})
    change.record(thread, What.REPLY, after=after | ({"changed": changed} if changed else {}))
    if not _overtaken(change, thread, at):
        to = ThreadState.WAITING_FOR_ASKER if asks else ThreadState.REPLIED
        move(change, thread, to, why="reply recorded", since=at)
    if message_id:
        joining.claim_id(change, encodable(message_id), thread)


def _overtaken(change: Change, thread: int, at: str) -> bool:
    sql = "select 1 from messages where thread = ? and automatic = '' and at > ?"
    return change.db.execute(sql, [thread, at]).fetchone() is not None


def _made_from(drafts: Sequence[DraftVersion], text: str) -> tuple[int, str]:
    """The version that shares most sentences with what was sent (of equals the newest), and what was changed in it."""
    if not drafts:
        return 0, ""
    best = max(drafts, key=lambda draft: (shared(draft.draft.body, text), draft.version))
    return best.version, changes(best.draft.body, text, f"draft {best.version}", "sent")


def replies_of_thread(db: Database, thread: int) -> tuple[Reply, ...]:
    """What was sent or told on the thread, oldest first."""
    rows = db.execute(
        """select text, by, at, subject, how, message_id,
                  (select count(*) from drafts d where d.thread = r.thread and d.id <= r.draft), changed
           from replies r where thread = ? order by id""",
        [thread],
    ).fetchall()
    return tuple(Reply(text, by, moment(at), *rest) for text, by, at, *rest in rows)

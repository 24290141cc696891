"""Messages to and from their rows."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from sqlite_utils import Database

from triage.model import Address, Attachment, Message, Question
from triage.store.change import Cell, Change
from triage.store.codec import moment, packed, to_json, unpacked
from triage.store.errors import NotFound

_TEXTS = ("channel", "subject", "text", "quoted", "forwarded", "signature", "automatic")
_COLUMNS = "id, sender_email, sender_name, sent, headers, " + ", ".join(_TEXTS)


def write(change: Change, message: Message, placed: Mapping[str, Cell]) -> int:
    """Insert a message and its raw bytes, return its row; `placed` holds the columns the store decides."""
    texts: dict[str, Cell] = {name: getattr(message, name) for name in _TEXTS}
    sender: dict[str, Cell] = {"sender_email": message.sender.email, "sender_name": message.sender.name}
    sent = message.sent.isoformat() if message.sent else None
    row = change.insert("messages", {**texts, **sender, "sent": sent, "headers": _headers(message), **placed})
    change.insert("raw", {"message": row, "bytes": packed(message.raw)})
    return row


def write_question(change: Change, thread: int, message_id: str, position: int, question: Question) -> None:
    """Insert one question of a message kept under `message_id`."""
    own = question.id.removeprefix(question.message) if question.message else ""
    change.insert("questions", {
        "id": message_id + own if own.startswith("#") else question.id, "thread": thread,
        "message": message_id, "position": position, "text": question.text, "subject": question.subject,
        "asker": question.asker, "offset": question.offset,
    })  # fmt: skip


def of_thread(db: Database, thread: int) -> tuple[Message, ...]:
    """The thread's messages in the order they were written, without raw bytes."""
    rows = db.query(f"select {_COLUMNS} from messages where thread = ? order by at, row", [thread])
    return tuple(map(_message, rows))


def questions_of_thread(db: Database, thread: int) -> tuple[Question, ...]:
    """The thread's questions in the order they were asked."""
    rows = db.query(
        """select q.id, q.text, q.subject, q.asker, q.message, q.offset from questions q
           join messages m on m.id = q.message where q.thread = ? order by m.at, m.row, q.position""",
        [thread],
    )
    return tuple(Question(**row) for row in rows)


def raw_bytes(db: Database, message_id: str) -> bytes:
    """The bytes of a message as they came; NotFound for an unknown id."""
    sql = "select bytes from raw join messages on messages.row = raw.message where messages.id = ?"
    row = db.execute(sql, [message_id]).fetchone()
    if row is None:
        raise NotFound(f"There is no message {message_id}.")
    return unpacked(row[0])


def header_id(db: Database, message_id: str) -> str:
    """The id in the message's own header; NotFound for an unknown id."""
    row = db.execute("select header_id from messages where id = ?", [message_id]).fetchone()
    if row is None:
        raise NotFound(f"There is no message {message_id}.")
    return str(row[0])


def _headers(message: Message) -> str:
    return to_json({
        "to": [asdict(address) for address in message.to],
        "reply_to": asdict(message.reply_to) if message.reply_to else None,
        "in_reply_to": message.in_reply_to,
        "references": message.references,
        "attachments": [asdict(attachment) for attachment in message.attachments],
        "notes": message.notes,
    })  # fmt: skip


def _message(row: dict[str, Any]) -> Message:
    headers = json.loads(row["headers"])
    return Message(
        id=row["id"],
        sender=Address(email=row["sender_email"], name=row["sender_name"]),
        sent=moment(row["sent"]) if row["sent"] else None,
        **{name: row[name] for name in _TEXTS},
        **_header_fields(headers),
    )


def _header_fields(headers: dict[str, Any]) -> dict[str, Any]:
    return {
        "to": tuple(Address(**address) for address in headers["to"]),
        "reply_to": Address(**headers["reply_to"]) if headers["reply_to"] else None,
        "in_reply_to": tuple(headers["in_reply_to"]),
        "references": tuple(headers["references"]),
        "attachments": tuple(Attachment(**attachment) for attachment in headers["attachments"]),
        "notes": tuple(headers["notes"]),
    }

"""Threads and their history as plain values and lines."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from triage.contract import reading_to_json
from triage.model import Message
from triage.store import HistoryEntry, Thread

_FOR_MACHINES = frozenset({"waiting_since", "pack", "reply", "asks"})  # keys of an entry that tell a person nothing


def thread_json(thread: Thread) -> dict[str, Any]:
    """A thread as plain values."""
    return {
        "thread": thread.id,
        "subject": thread.subject,
        "asker": thread.asker.name,
        "email": thread.asker.email,
        "state": thread.state.value,
        "danger": thread.danger,
        "outcome": thread.outcome,
        "messages": [_message_json(message) for message in thread.messages],
        "readings": [reading_to_json(saved.reading) for saved in thread.readings],
        "draft": thread.drafts[-1].draft.body if thread.drafts else "",
        "replies": [{"text": r.text, "by": r.by, "at": r.at, "how": r.how} for r in thread.replies],
    }


def _message_json(message: Message) -> dict[str, Any]:
    return {
        "id": message.id,
        "channel": message.channel,
        "from": message.sender.email,
        "name": message.sender.name,
        "sent": message.sent,
        "text": message.text,
        "quoted": message.quoted,
        "forwarded": message.forwarded,
        "signature": message.signature,
        "automatic": message.automatic,
        "notes": list(message.notes),
    }


def entry_json(entry: HistoryEntry) -> dict[str, Any]:
    """A history entry as plain values."""
    before, after = dict(entry.before), dict(entry.after)
    return {"at": entry.at, "by": entry.by, "what": entry.what.value, "before": before, "after": after}


def entry_line(entry: HistoryEntry) -> str:
    """A history entry on one line."""
    told = _told(entry.after) or (_told(entry.before) and f"was {_told(entry.before)}")
    return f"{entry.at:%Y-%m-%d %H:%M}  {entry.by:12}  {entry.what.value:16}  {told}".rstrip()


def _told(values: Mapping[str, Any]) -> str:
    parts = []
    for key, value in values.items():
        if key == "facts":
            parts += [_fact_told(fact) for fact in value]
        elif key not in _FOR_MACHINES and value not in ("", None):
            parts.append(f"{key}: {' '.join(str(value).split())}")
    return ", ".join(parts)


def _fact_told(fact: Mapping[str, Any]) -> str:
    sign = "!=" if fact["standing"] == "denied" else "="
    return f"{fact['name']}{sign}{fact['value']}"

"""Threads and their history as plain values and lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from triage.contract import fact_to_json, reading_to_json
from triage.model import Draft, Message
from triage.store import HistoryEntry, Prior, Thread

# keys of an entry that tell a person nothing, or that have lines of their own
_NOT_ON_THE_LINE = frozenset({"waiting_since", "pack", "reply", "asks", "changed"})


def thread_json(thread: Thread, prior: Sequence[Prior], draft: Draft | None) -> dict[str, Any]:
    """A thread as plain values, with what its asker told before and the draft of a reply."""
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
        "draft": draft.body if draft else "",
        "replies": [
            {"text": r.text, "by": r.by, "at": r.at, "how": r.how, "draft": r.draft, "changed": r.changed}
            for r in thread.replies
        ],
        "prior": [_prior_json(earlier) for earlier in prior],
    }


def _prior_json(prior: Prior) -> dict[str, Any]:
    return {
        "thread": prior.thread,
        "when": prior.when,
        "channel": prior.channel,
        "state": prior.state.value,
        "same": [same.value for same in prior.same],
        "vehicle": prior.summary.vehicle,
        "wrong": prior.summary.wrong,
        "outcome": prior.outcome,
        "facts": [fact_to_json(fact) for fact in prior.facts],
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


def entry_lines(entry: HistoryEntry) -> Iterator[str]:
    """A history entry on one line; below it, what was changed in a draft before it went out."""
    told = _told(entry.after) or (_told(entry.before) and f"was {_told(entry.before)}")
    yield f"{entry.at:%Y-%m-%d %H:%M}  {entry.by:12}  {entry.what.value:16}  {told}".rstrip()
    yield from (f"    {line}" for line in str(entry.after.get("changed", "")).splitlines())


def _told(values: Mapping[str, Any]) -> str:
    parts = []
    for key, value in values.items():
        if key == "facts":
            parts += [_fact_told(fact) for fact in value]
        elif key not in _NOT_ON_THE_LINE and value not in ("", None):
            parts.append(f"{key}: {' '.join(str(value).split())}")
    return ", ".join(parts)


def _fact_told(fact: Mapping[str, Any]) -> str:
    sign = "!=" if fact["standing"] == "denied" else "="
    return f"{fact['name']}{sign}{fact['value']}"

"""The whole queue as JSON lines: to read it without this program, or to hand it to another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from datetime import datetime

from triage.contract import draft_to_json, fact_to_json, reading_to_json
from triage.model import Message
from triage.store.codec import to_json
from triage.store.states import EVERY, ThreadState
from triage.store.store import Store
from triage.store.values import HistoryEntry, Thread


def export_lines(store: Store, states: tuple[ThreadState, ...] = EVERY) -> Iterator[str]:
    """One JSON object a line for each thread in these states, oldest first, with its whole history."""
    for thread in store.each_thread(states):
        yield to_json(thread_to_json(thread, store.history(thread.id)))


def thread_to_json(thread: Thread, history: list[HistoryEntry]) -> dict[str, object]:
    """A thread as plain JSON values; raw bytes stay in the store."""
    return {
        "thread": thread.id,
        "subject": thread.subject,
        "asker": asdict(thread.asker),
        "state": thread.state.value,
        "danger": thread.danger,
        "decision": thread.decision.value if thread.decision else None,
        "opened_at": thread.opened_at.isoformat(),
        "waiting_since": thread.waiting_since.isoformat(),
        "summary": asdict(thread.summary),
        "outcome": thread.outcome,
        **_belongings(thread),
        "history": [_plain(asdict(entry)) for entry in history],
    }


def _belongings(thread: Thread) -> dict[str, object]:
    return {
        "messages": [_message(message) for message in thread.messages],
        "questions": [asdict(question) for question in thread.questions],
        "readings": [{**_signed(r), "reading": reading_to_json(r.reading)} for r in thread.readings],
        "facts": [fact_to_json(fact) for fact in thread.facts],
        "drafts": [{**_signed(d), "draft": draft_to_json(d.draft)} for d in thread.drafts],
        "replies": [_plain(asdict(reply)) for reply in thread.replies],
    }


def _message(message: Message) -> dict[str, object]:
    return {name: value for name, value in _plain(asdict(message)).items() if name != "raw"}


def _signed(kept: object) -> dict[str, object]:
    """The columns that say who kept something and when, without the thing itself."""
    names = ("version", "pack_digest", "by", "at")
    return _plain({name: getattr(kept, name) for name in names if hasattr(kept, name)})


def _plain(record: dict[str, object]) -> dict[str, object]:
    return {name: value.isoformat() if isinstance(value, datetime) else value for name, value in record.items()}

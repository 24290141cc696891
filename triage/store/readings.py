"""Saving what was read of a thread, with the queue's line and the look-up facts that follow from it."""

from __future__ import annotations

import json
from collections.abc import Sequence

from sqlite_utils import Database

from triage.contract import reading_from_json, reading_to_json
from triage.model import Decision, Reading
from triage.store import facts
from triage.store.change import Change
from triage.store.codec import moment, to_json
from triage.store.errors import StoreError
from triage.store.values import NO_DANGER, UNREAD, SavedReading, Summary, What

_POSSIBLE = UNREAD + 1  # ranks below UNREAD are happening, those above are possible in the work proposed

# Of several questions the one that needs most care decides for the thread.
_MOST_CARE_FIRST = (Decision.HAND_OVER, Decision.NO_ANSWER, Decision.ASK, Decision.ANSWER)

_COLUMNS = "reading, pack_digest, by, at, round"


def save(change: Change, thread: int, read: Sequence[Reading], summary: Summary, pack_digest: str) -> None:
    """Keep the readings of a thread's questions as its present ones; earlier ones stay as history."""
    if not read:
        raise StoreError(f"No reading was given for thread {thread}. Give one for each of its questions.")
    danger, decision = danger_rank(read), min((r.decision for r in read), key=_MOST_CARE_FIRST.index)
    entry = change.record(thread, What.READING, before=_line(change, thread), after={
        "danger": danger, "decision": decision.value, "pack": pack_digest, "questions": [r.id for r in read],
    })  # fmt: skip
    for reading in read:
        change.signed("readings", {
            "thread": thread, "round": entry, "question": reading.id,
            "reading": to_json(reading_to_json(reading)), "pack_digest": pack_digest,
        })  # fmt: skip
    change.update_thread(thread, {
        "danger": danger, "decision": decision.value, "vehicle": summary.vehicle, "wrong": summary.wrong,
        "missing": to_json(summary.missing),
    })  # fmt: skip
    facts.refresh(change.db, thread)


def danger_rank(read: Sequence[Reading]) -> int:
    """0 (DANGER) to 3 (NOTICE) for a hazard that is happening, 5 to 8 for a possible one, or NO_DANGER."""
    ranks = [
        note.signal.rank + (0 if note.urgent or note.stop else _POSSIBLE)
        for reading in read
        for note in reading.hazards
    ]
    return min(ranks, default=NO_DANGER)


def of_thread(db: Database, thread: int, *, every: bool = False) -> tuple[SavedReading, ...]:
    """The present readings of a thread, or every one ever saved, oldest first."""
    present = "" if every else " and round = (select max(round) from readings where thread = :thread)"
    sql = f"select {_COLUMNS} from readings where thread = :thread{present} order by id"
    return tuple(_saved(*row) for row in db.execute(sql, {"thread": thread}).fetchall())


def _saved(text: str, pack_digest: str, by: str, at: str, round_: int) -> SavedReading:
    return SavedReading(reading_from_json(json.loads(text)), pack_digest, by, moment(at), round_)


def _line(change: Change, thread: int) -> dict[str, object]:
    row = change.db.execute("select danger, decision from threads where id = ?", [thread]).fetchone()
    return {"danger": row[0], "decision": row[1]}

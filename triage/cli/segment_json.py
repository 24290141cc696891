"""A programme as plain values for scripts."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from triage.segment.programme import Candidate, Programme, Said


def programme_json(programme: Programme) -> dict[str, Any]:
    """The programme; of the questions left out only number, reason and whether they could be added."""
    return {
        "date": programme.day.isoformat(),
        "minutes": programme.minutes,
        "reserve": programme.reserve,
        "aired": programme.aired,
        "worth": programme.worth,
        "opening": programme.opening,
        "tip": asdict(programme.tip) if programme.tip else None,
        "closing": programme.closing,
        "questions": [
            {
                "place": slot.place, "minutes": slot.minutes, "locked": slot.locked, "reason": slot.reason,
                **_question(slot.candidate),
            }
            for slot in programme.slots
        ],
        "left_out": [
            {"thread": left.candidate.thread, "reason": left.reason, "spare": left.spare}
            for left in programme.left_out
        ],
    }  # fmt: skip


def _question(one: Candidate) -> dict[str, Any]:
    return {
        "thread": one.thread,
        "question": one.question,
        "name": one.name,
        "topic": one.topic,
        "vehicle": one.vehicle,
        "system": one.system,
        "depth": one.depth.value,
        "same": one.same,
        "waiting_days": one.waiting_days,
        **asdict(one.essentials),
    }


def said_json(note: Said) -> dict[str, Any]:
    """What became of one question."""
    return {
        "thread": note.thread, "how": note.how.value, "note": note.note, "words": note.words,
        "seconds": note.seconds, "by": note.by, "at": note.at,
    }  # fmt: skip

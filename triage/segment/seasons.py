"""What is asked at this time of the year, and the safety tip of the week."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from triage.model import Reading
from triage.pack import Pack
from triage.pack.schema import SegmentNote
from triage.segment.matter import likely_answer, told_symptoms
from triage.segment.programme import Tip

REST_WEEKS = 10  # before a tip is said again, where another one will do


def season_of(reading: Reading, day: date, pack: Pack) -> tuple[float, tuple[str, ...]]:
    """How much the question is in season (0..1), and the seasons by name."""
    notes = [note for note in pack.segment.values() if note.kind == "season" and day.month in note.months]
    hit = [note for note in notes if _touches(note, reading, pack)]
    return max((note.weight for note in hit), default=0.0), tuple(note.says[0] for note in hit if note.says)


def _touches(note: SegmentNote, reading: Reading, pack: Pack) -> bool:
    answer = likely_answer(reading, pack)
    tags = set(answer.tags) if answer else set()
    told = {note.hazard for note in reading.hazards if note.span}
    return bool(
        set(note.symptoms) & set(told_symptoms(reading, pack)) or set(note.tags) & tags or set(note.hazards) & told
    )


def tip_for(hazards: Sequence[str], day: date, pack: Pack, used: Mapping[str, date]) -> Tip | None:
    """The tip that fits the programme best: tied to most of its hazards, in season, and not said lately.

    `hazards` are those of all questions on, with repeats; `used` says when each tip was last said.
    """
    tips = [note for note in pack.segment.values() if note.kind == "tip"]
    tips = [note for note in tips if not note.months or day.month in note.months] or tips
    if not tips:
        return None
    best = min(tips, key=lambda note: (_rested(note, day, used), -_ties(note, hazards, day), note.id))
    return Tip(best.id, best.says[0], best.source)


def _rested(note: SegmentNote, day: date, used: Mapping[str, date]) -> int:
    """0 when it may be said again, else how many weeks are missing."""
    if note.id not in used:
        return 0
    return max(0, REST_WEEKS - (day - used[note.id]).days // 7)


def _ties(note: SegmentNote, hazards: Sequence[str], day: date) -> float:
    """How many hazards of the programme it speaks of; a tip of this season counts for one more."""
    return sum(hazard in note.hazards for hazard in hazards) + float(day.month in note.months)

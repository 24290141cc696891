"""A live question, typed in and read at once: what is known, what is dangerous, what to say, what to ask."""

from __future__ import annotations

from dataclasses import dataclass

from triage.bench.office import Office
from triage.facts import holding
from triage.language.aloud import spoken
from triage.model import Decision, HazardNote, Question, Reading
from triage.pipeline import Stages, drafted, read
from triage.reply.summary import cart, said, told_line

MOST = 3  # causes, checks, questions


@dataclass(frozen=True, slots=True)
class Danger:
    """A safety line."""

    signal: str
    note: str


@dataclass(frozen=True, slots=True)
class Heard:
    """What is shown of a live question. `answer` is worded to be said; empty where nothing in the base fits."""

    words: str
    known: tuple[str, ...]
    dangers: tuple[Danger, ...]
    hand_over: bool
    title: str
    sure: int  # percent
    answer: tuple[str, ...]
    causes: tuple[str, ...]
    checks: tuple[str, ...]
    ask: tuple[str, ...]


def heard(words: str, office: Office) -> Heard:
    """The question read with everything the pack knows; nothing is kept."""
    question = Question("live", words)
    with office.reading:
        reading = read(question, office.stages)
    return _shown(question, reading, office.stages)


def _shown(question: Question, reading: Reading, stages: Stages) -> Heard:
    pack = stages.pack
    draft = drafted(question, reading, pack, stages.book, stages.facts, "aloud")
    lines = [spoken(s.text, pack.spoken) for s in draft.sentences if s.source.startswith("answer:")]
    best = reading.matches[0] if reading.matches else None
    return Heard(
        words=question.text,
        known=_known(reading, stages),
        dangers=tuple(Danger(note.signal.value, note.note) for note in _worst_first(reading)),
        hand_over=any(note.urgent or note.stop for note in reading.hazards)
        or (reading.decision is Decision.HAND_OVER and not reading.unsure),
        title=pack.answer(best.answer).title if best and lines else "",
        sure=round(100 * best.probability) if best and lines else 0,
        answer=tuple(lines),
        causes=tuple(pack.causes[one.cause].label for one in reading.causes[:MOST]),
        checks=tuple(spoken(step.text, pack.spoken) for step in reading.checks[:MOST]),
        ask=tuple(gap.ask for gap in reading.gaps[:MOST]),
    )


def _known(reading: Reading, stages: Stages) -> tuple[str, ...]:
    facts = holding(reading.facts).facts
    line = cart(said(reading.facts, facts), stages.book)
    told = told_line(reading.facts, facts, stages.pack.symptoms, stages.book)
    return tuple(filter(None, (line, told.removeprefix(line).removeprefix("; "))))


def _worst_first(reading: Reading) -> list[HazardNote]:
    return sorted(reading.hazards, key=lambda note: note.signal.rank)

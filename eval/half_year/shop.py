"""The simulated shop at work: takes questions in, has them read and drafted, replies, and settles; in a real store."""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from eval.half_year.asking import Asked
from eval.half_year.staff import MINUTES, Written, Wrong, reply
from triage.bench.redraft import answers_in
from triage.desk import draft_of, summarise
from triage.engine import VectorCache
from triage.intake import base_subject
from triage.model import Address, Decision, Message, Question, Reading
from triage.pack.schema import Answer
from triage.pipeline import Stages, read
from triage.store import Store

READER = "triage"
HELPED = 0.7  # share of askers who say that it helped, when nothing wrong was written
OFFERED = (Decision.ANSWER, Decision.ASK)


@dataclass
class Clock:
    """The shop's clock."""

    now: datetime = datetime(2026, 1, 5, tzinfo=UTC)

    def __call__(self) -> datetime:
        """What time it is in the half year."""
        return self.now


@dataclass(frozen=True)
class Served:
    """One question as it was dealt with."""

    asked: Asked
    thread: int
    decision: Decision
    carried: str  # the answer the draft was built on; "" for none
    right: bool  # it is the right one
    first: bool  # the likeliest answer is the right one, whether or not it was sure enough
    written: Written
    edits: int  # sentences taken out of the draft or put into it, where it was built on an answer

    @property
    def minutes(self) -> float:
        """Staff time."""
        return MINUTES[self.written.how]


@dataclass
class Shop:
    """The store, what the staff know, and which of the base's answers is about which matter of the generator."""

    store: Store
    clock: Clock
    truth: Mapping[str, Answer]
    wrong: Mapping[int, Wrong]
    seed: int
    matter: dict[str, set[str]] = field(default_factory=dict)  # answer id -> matters it answers rightly
    question: dict[int, Asked] = field(default_factory=dict)  # thread -> what was asked
    said_wrong: dict[int, Wrong] = field(default_factory=dict)  # thread -> the mistake made in its reply

    def week(self, asked: Iterable[Asked], stages: Stages) -> list[Served]:
        """Deal with a week's questions in their order."""
        with self.store.batch(500):
            return [self._serve(item, stages) for item in asked]

    def _serve(self, asked: Asked, stages: Stages) -> Served:
        self.clock.now = asked.at
        thread, question = self._take_in(asked)
        reading = read(question, stages)
        drafted = self._keep(thread, question, reading, stages)
        carried = answers_in(reading.draft)[0] if answers_in(reading.draft) else ""
        right = asked.answer in self.matter.get(carried, set())
        self.clock.now += timedelta(hours=3)
        written = reply(asked, drafted, right, self.truth, self.wrong.get(asked.number), self.seed)
        self._send(thread, asked, written)
        first = bool(reading.matches) and asked.answer in self.matter.get(reading.matches[0].answer, set())
        return Served(asked, thread, reading.decision, carried, right, first, written, self._edits(thread, carried))

    def _take_in(self, asked: Asked) -> tuple[int, Question]:
        name = asked.asker
        sender = Address(f"{name.lower().replace(' ', '.')}.{asked.number}@post.example", name)
        subject = " ".join(asked.text.split()[:6])
        message = Message(f"half-year-{asked.number}@post.example", "mail", sender, subject, asked.at, asked.text)
        question = Question(f"{message.id}#1", asked.text, subject, name, message.id)
        taken = self.store.take_in(message, by=READER, subject_key=base_subject(subject), questions=[question])
        assert taken.thread is not None
        self.question[taken.thread] = asked
        return taken.thread, question

    def _keep(self, thread: int, question: Question, reading: Reading, stages: Stages) -> str:
        draft = draft_of([reading], [question], stages.pack, stages.book)
        kept = self.store.thread(thread)
        summary = summarise(kept, [reading], stages.pack)
        self.store.save_reading(thread, reading, pack_digest=stages.pack.digest, by=READER, summary=summary)
        self.store.save_draft(thread, draft, by=READER)
        return draft.body

    def _send(self, thread: int, asked: Asked, written: Written) -> None:
        self.store.record_reply(thread, written.text, by=written.by)
        if written.wrong is not None:
            self.said_wrong[thread] = written.wrong
        helped = written.wrong is None and random.Random(f"helped {self.seed} {asked.number}").random() < HELPED
        if asked.answer:
            self.store.settle(thread, by=written.by, outcome="that helped" if helped else "")
        else:
            self.store.set_aside(thread, by=written.by, why="for the office")

    def _edits(self, thread: int, carried: str) -> int:
        if not carried:
            return 0
        lines = self.store.thread(thread).replies[-1].changed.splitlines()[2:]
        return sum(line[:1] in "+-" for line in lines if line)


def quick(stages: Stages, cache: Path) -> Stages:
    """The stages with an encoder that keeps what it has encoded: many wordings come again."""
    return replace(stages, encoder=VectorCache(stages.encoder, cache))

"""Lessons taken from a real queue: read, drafted, answered, and then learned from."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from triage.desk import read_open, take_in
from triage.growth.learn_lessons import Became
from triage.learning import drafted_answer, lessons_of
from triage.model import Address, Message
from triage.pipeline import Stages
from triage.store import Store

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
ASKED = {
    "water": "How and when do I top up the water in my cart batteries, before or after charging? They are flooded.",
    "nuts": "Which wheel nuts fit my 2012 Ospren Ridge? I lost two nuts of the wheel.",
    "boat": "What time do you open on Saturday?",
}


@pytest.fixture
def store(stages: Stages, tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "queue.db", now=lambda: NOW) as made:
        mails = [
            Message(f"{name}@a.example", "mail", Address(f"{name}@a.example", "Alma Birch"), name,
                    NOW - timedelta(hours=n), text)
            for n, (name, text) in enumerate(ASKED.items())
        ]  # fmt: skip
        take_in(mails, made, stages.pack)
        assert len(list(read_open(made, stages))) == len(mails)
        yield made


def thread_about(store: Store, subject: str) -> int:
    return next(thread.id for thread in store.each_thread() if thread.subject == subject)


def test_what_was_sent_as_drafted_teaches_that_its_answer_was_right(store: Store, stages: Stages) -> None:
    number = thread_about(store, "water")
    thread = store.thread(number)
    assert drafted_answer(thread) == "battery-watering"
    store.record_reply(number, thread.drafts[0].draft.body, by="Wyn")
    (found,) = lessons_of(store, stages)
    assert (found.thread, found.person, found.feedback.became) == (number, "Wyn", Became.SENT)
    assert [id for id, right in zip(found.rows.answers, found.right, strict=False) if right] == ["battery-watering"]


def test_another_answer_sent_in_its_place_is_the_right_one(store: Store, stages: Stages) -> None:
    number = thread_about(store, "water")
    store.record_reply(number, f"Hello Alma,\n\n{stages.pack.answer('battery-hydrometer').text}", by="Odile")
    (found,) = lessons_of(store, stages)
    assert (found.feedback.became, found.feedback.answer) == (Became.CHANGED, "battery-hydrometer")


def test_what_nobody_answered_or_answered_in_a_word_teaches_nothing(store: Store, stages: Stages) -> None:
    store.record_reply(thread_about(store, "boat"), "At nine.", by="Wyn")
    assert lessons_of(store, stages) == []


def test_every_drafted_answer_sent_as_it_is_is_recognised(stages: Stages) -> None:
    """Whatever branches a draft leaves out, and however it words the rest."""
    from dataclasses import replace

    from triage.growth.learn_lessons import feedback
    from triage.model import Question
    from triage.pipeline import read

    base = {answer.id: answer for answer in stages.pack.answers}
    lost = []
    for answer in stages.pack.answers[::6]:
        reading = read(Question(answer.id, answer.question), replace(stages))
        carried = {s.source.removeprefix("answer:") for s in reading.draft.sentences if s.source.startswith("answer:")}
        for id in carried:
            told = feedback(id, reading.draft.body, base)
            lost += [id] if told is None or told.became is not Became.SENT else []
    assert lost == []


def test_the_command_says_what_it_found_and_what_it_did_not_do(tmp_path: Path) -> None:
    """With a store in which nothing was answered yet; the encoder is the real one, but reads only the pack."""
    from typer.testing import CliRunner

    from triage.cli.app import app

    Store.open(tmp_path / "queue.db", now=lambda: NOW).close()
    asked = ["learn", "--store", str(tmp_path / "queue.db"), "--json"]
    result = CliRunner().invoke(app, asked)
    assert result.exit_code == 0, result.output
    values = json.loads(result.stdout)
    assert values["keep"] is False and values["kept"] == ""
    assert values["report"][0] == "No answered thread teaches anything yet."
    assert "fewer than 30" in values["report"][-1]


def test_the_command_goes_back(tmp_path: Path) -> None:
    from typer.testing import CliRunner

    from triage.cli.app import app

    result = CliRunner().invoke(app, ["learn", "--back", "--pack", str(tmp_path)])
    assert result.exit_code == 0 and "the shipped weights count" in result.stdout

"""What a change to the base does to answered questions: told from readings with both bases."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from toys import Words

from triage.engine import with_answers
from triage.growth.effect import Outcome, Resolved, Turn, right_after, successors, turn_of
from triage.growth.proposal import Kind, Proposal
from triage.model import Decision, Question
from triage.pipeline import Stages, read
from triage.rereading import Rereader, labelled, moves
from triage.unusable import Unusable

ANSWER, ASK = Decision.ANSWER, Decision.ASK
WATER = Question("water", "How and when do I top up the water in my cart batteries? They are flooded ones.")
NUTS = Question("nuts", "Which wheel nuts fit my 2012 Ospren Ridge?")


def outcome(first: str, probability: float, of_right: float, decision: Decision = ANSWER) -> Outcome:
    return Outcome(first, probability, decision, of_right)


@pytest.mark.parametrize(
    ("before", "after", "known", "expected"),
    [
        (outcome("a", 0.6, 0.0), outcome("b", 0.9, 0.9), True, Turn.BETTER),  # the right answer now carries the reply
        (outcome("b", 0.9, 0.9), outcome("a", 0.6, 0.3), True, Turn.WORSE),
        (outcome("b", 0.7, 0.7), outcome("b", 0.9, 0.9), True, Turn.BETTER),  # surer of the right one
        (outcome("b", 0.9, 0.9), outcome("b", 0.905, 0.905), True, Turn.SAME),
        (outcome("b", 0.9, 0.9), outcome("b", 0.9, 0.9, ASK), True, Turn.CHANGED),  # asks now, no surer than before
        (outcome("a", 0.3, 0.0), outcome("b", 0.9, 0.0), False, Turn.CHANGED),  # nobody knows which is right
    ],
)
def test_better_and_worse_go_by_the_right_answer(before: Outcome, after: Outcome, known: bool, expected: Turn) -> None:
    assert turn_of(before, after, {}, known=known) is expected


def test_an_answer_that_is_joined_into_another_goes_on_under_its_id(stages: Stages) -> None:
    two = stages.pack.answers[:2]
    joined = replace(two[0], id="joined")
    changed = successors(two, [joined])
    assert changed == {answer.id: frozenset({"joined"}) for answer in two}
    assert right_after(frozenset({two[1].id}), changed) == frozenset({"joined"})
    same = outcome(two[1].id, 0.9, 0.9)
    assert turn_of(same, replace(same, first="joined"), changed, known=True) is Turn.SAME
    assert not moves({two[0].id: 0.3, two[1].id: 0.6}, {"joined": 0.9}, changed)


def lacking(stages: Stages, id: str) -> Stages:
    return with_answers(stages, [answer for answer in stages.pack.answers if answer.id != id])


def test_only_what_is_new_is_encoded(stages: Stages) -> None:
    toy = Words()
    half = replace(lacking(stages, "battery-watering"), encoder=toy)
    with_answers(half, half.pack.answers)
    assert toy.encoded == []
    again = with_answers(half, stages.pack.answers)
    assert toy.encoded and all("water" in text.lower() or "charge" in text.lower() for text in toy.encoded[:3])
    assert [a.id for a in again.pack.answers] == [a.id for a in stages.pack.answers]


def test_a_base_changed_and_changed_back_reads_as_before(stages: Stages) -> None:
    there_and_back = with_answers(lacking(stages, "battery-watering"), stages.pack.answers)
    for question in (WATER, NUTS):
        one, other = read(question, stages), read(question, there_and_back)
        assert (one.matches, one.decision, one.draft) == (other.matches, other.decision, other.draft)


def test_a_new_answer_makes_its_questions_better_and_leaves_the_others(stages: Stages, tmp_path: Path) -> None:
    new = stages.pack.answer("battery-watering")
    asked = [Resolved(WATER, frozenset({new.id})), Resolved(NUTS, frozenset({"tyre-wheel-nuts-m12-fine"}))]
    done: list[int] = []
    effects = Rereader(lacking(stages, new.id), tmp_path).effects(
        Proposal(0, Kind.NEW, (), (new,)), asked, lambda n, _: done.append(n)
    )
    assert [(e.resolved.question.id, e.turn, e.after.first) for e in effects.changed] == [
        ("water", Turn.BETTER, new.id)
    ]
    assert effects.counts == {Turn.BETTER: 1, Turn.SAME: 1}
    assert (effects.read, effects.left, done) == (2, 0, [1, 2])


def test_a_range_made_too_narrow_makes_a_question_worse(stages: Stages, tmp_path: Path) -> None:
    old = stages.pack.answer("tyre-wheel-nuts-m12-fine")
    narrow = replace(old, applies_to=replace(old.applies_to, makes=["Merrow"]))
    effects = Rereader(stages, tmp_path).effects(
        Proposal(0, Kind.SCOPE, (old,), (narrow,)), [Resolved(NUTS, frozenset({old.id}))]
    )
    (worse,) = effects.changed
    assert worse.turn is Turn.WORSE and worse.before.of_right > worse.after.of_right


def test_of_very_many_questions_the_nearest_are_read(stages: Stages, tmp_path: Path) -> None:
    new = stages.pack.answer("battery-watering")
    asked = [Resolved(NUTS), Resolved(WATER, frozenset({new.id}))]
    effects = Rereader(lacking(stages, new.id), tmp_path, most=1).effects(Proposal(0, Kind.NEW, (), (new,)), asked)
    assert (effects.read, effects.left) == (1, 1)
    assert [effect.resolved.question.id for effect in effects.changed] == ["water"]


def test_labelled_questions_are_read_from_a_file(tmp_path: Path) -> None:
    file = tmp_path / "questions.jsonl"
    assert list(labelled(file)) == []
    file.write_text('{"id": "q1", "text": "Which nuts?", "answer": "a", "also_ok": ["b"]}\n{"id": "q2"}\n', "utf-8")
    with pytest.raises(Unusable, match=r"questions\.jsonl, line 2 is no labelled question"):
        list(labelled(file))
    file.write_text('{"id": "q1", "text": "Which nuts?", "answer": "a", "also_ok": ["b"]}\n', "utf-8")
    assert [(item.question.text, item.right) for item in labelled(file)] == [("Which nuts?", frozenset("ab"))]

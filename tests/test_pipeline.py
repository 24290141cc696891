"""One question read from end to end with the demo shop: what a support person sees, in figures and words."""

from __future__ import annotations

from pathlib import Path

import pytest

from triage.engine import open_engine
from triage.model import Decision, Fact, Question, Standing
from triage.pipeline import condition_facts, read, with_message

KNOWLEDGE = Path(__file__).parents[1] / "knowledge"


@pytest.fixture(scope="module")
def stages(tmp_path_factory):
    return open_engine(KNOWLEDGE, cache=tmp_path_factory.mktemp("cache"))


@pytest.fixture(scope="module")
def ask(stages):
    def asked(text: str, known: tuple[Fact, ...] = (), **more: str):
        return read(Question("q", text, **more), stages, known)

    return asked


CLEAR = "My 2012 Tarvik Lark, electric, 48 volt: the solenoid clicks but it will not move. What do I check?"
DANGER = "The charger cable is smoking and there is a flame at the battery, also how much is a rear seat?"
OFF_TOPIC = "Which paint covers old varnish on a wooden boat?"
ORDER = "Do you sell raspberry jam, and what does postage cost to the islands?"
QUESTIONS = [CLEAR, DANGER, OFF_TOPIC, "it wont go", "", "?", "36 or 48 V? petrol I think", "a" * 5000]


def test_a_clear_question_finds_its_answer(ask):
    reading = ask(CLEAR)
    assert reading.matches[0].answer in ("drive-clicks-will-not-move", "solenoid-test")
    assert reading.decision in (Decision.ANSWER, Decision.ASK) and not reading.conflicts
    told = {(fact.name, fact.value) for fact in reading.facts}
    assert {("year", 2012), ("make", "Tarvik"), ("model", "Lark"), ("pack_voltage", 48)} <= told


def test_a_reported_danger_goes_to_a_person_and_gives_no_steps(ask):
    reading = ask(DANGER)
    assert reading.decision is Decision.HAND_OVER and any(note.urgent for note in reading.hazards)
    assert not any(s.source.startswith(("answer:", "check:")) for s in reading.draft.sentences)


def test_what_nothing_fits_is_said_to_fit_nothing(ask):
    reading = ask(OFF_TOPIC)
    assert reading.decision is Decision.NO_ANSWER
    assert any(s.source == "wording:no_answer" for s in reading.draft.sentences)


def test_an_order_goes_to_a_person_with_the_reason(ask):
    reading = ask(ORDER)
    assert reading.decision is Decision.HAND_OVER
    assert "order" in reading.reasons[0]


@pytest.mark.parametrize(
    ("text", "powertrain"),
    [
        ("My 2004 Tarvik Wren, petrol, will not start, the engine turns over.", "petrol"),
        ("My 2012 Lark, 48 V electric, will not move.", "electric"),
    ],
)
def test_no_answer_for_the_other_powertrain_is_ever_offered(ask, stages, text, powertrain):
    for match in ask(text).matches:
        assert stages.pack.answer(match.answer).applies_to.powertrain in (None, powertrain)


@pytest.mark.parametrize("text", QUESTIONS, ids=lambda text: text[:20] or "empty")
def test_every_reading_holds_together(ask, stages, text):
    reading = ask(text)
    assert reading.reasons and reading.draft.body
    assert [m.probability for m in reading.matches] == sorted((m.probability for m in reading.matches), reverse=True)
    assert sum(match.probability for match in reading.matches) <= 1.001
    assert sum(cause.probability for cause in reading.causes) <= 1.001
    assert len(reading.gaps) <= 3
    for fact in reading.facts:
        assert fact.basis or fact.span
        assert fact.span is None or 0 <= fact.span.start < fact.span.end <= len(text)


@pytest.mark.parametrize("text", QUESTIONS, ids=lambda text: text[:20] or "empty")
def test_every_sentence_of_the_draft_points_into_the_pack(ask, stages, text):
    pack, reading = stages.pack, ask(text)
    exists = {
        "answer": {answer.id for answer in pack.answers},
        "check": set(pack.checks),
        "hazard": set(pack.hazards),
        "gap": set(pack.facts),
        "wording": set(pack.wording.phrases),
        "conflict": {conflict.id for conflict in reading.conflicts},
    }
    for sentence in reading.draft.sentences:
        kind, _, name = sentence.source.partition(":")
        assert name in exists[kind]


def test_what_was_told_is_never_asked(ask):
    reading = ask(CLEAR)
    told = {fact.name for fact in reading.facts if fact.standing in (Standing.STATED, Standing.CORRECTED)}
    assert not told & {gap.fact for gap in reading.gaps}


def test_what_an_earlier_message_told_counts(ask):
    earlier = with_message(ask("It is a 2012 Tarvik Lark, 48 V electric.").facts, "m1")
    reading = ask("The solenoid clicks but it will not move.", earlier)
    assert {"make", "model", "year"} <= {fact.name for fact in reading.facts if fact.message == "m1"}
    assert not {"make", "model", "year", "pack_voltage"} & {gap.fact for gap in reading.gaps}


def test_inferred_facts_are_not_carried_to_the_next_message(ask):
    carried = with_message(ask("It is a 2012 Tarvik Lark.").facts, "m1")
    assert carried and all(fact.standing is not Standing.INFERRED for fact in carried)


def test_the_same_question_gives_the_same_reading(ask):
    first, second = ask(CLEAR), ask(CLEAR)
    assert (first.matches, first.draft, first.gaps, first.checks) == (
        second.matches, second.draft, second.gaps, second.checks,
    )  # fmt: skip


def test_the_subject_is_read_as_well(ask):
    bare, titled = ask("What now?"), ask("What now?", subject="Solenoid clicks, cart will not move")
    assert titled.matches != bare.matches


@pytest.mark.parametrize(
    ("condition", "facts"),
    [
        ("it is a 36 V cart", {"pack_voltage": (36,)}),
        ("it is a Tarvik or a Hollin", {"make": ("Tarvik", "Hollin")}),
        ("the solenoid does not click", {"solenoid_click": ("no",)}),
        ("the engine does not turn over", {"engine_turns": ("no",)}),
        ("you think of 48 V", {}),
        ("a lug is green", {}),
    ],
)
def test_what_a_branch_is_for(stages, condition, facts):
    found = condition_facts(condition, stages.facts)
    assert {name: found.get(name) for name in facts} == facts and (facts or not found)


def test_each_stage_is_timed(ask):
    timing = ask(CLEAR).timing_ms
    assert {"facts", "conflicts", "matching", "diagnosis", "gaps", "safety", "draft"} <= timing.keys()
    assert all(value >= 0 for value in timing.values())

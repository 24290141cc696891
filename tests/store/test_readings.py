"""Readings, facts set by a person, drafts and replies: what is saved comes back exactly."""

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.contract import reading_from_json, reading_to_json
from triage.model import (
    CauseBelief,
    CheckStep,
    Conflict,
    Decision,
    Draft,
    Fact,
    Gap,
    HazardNote,
    Match,
    Reading,
    Sentence,
    Signal,
    Span,
    Standing,
)
from triage.store import (
    NO_DANGER,
    Filters,
    Store,
    StoreError,
    Summary,
    export_lines,
)
from triage.store.readings import danger_rank

from .mails import mail

TEXT = st.text(max_size=12)
PROBABILITY = st.floats(0, 1)
SPANS = st.builds(Span, st.integers(0, 99), st.integers(0, 99))
VALUES = TEXT | st.integers() | st.floats(allow_nan=False) | st.lists(PROBABILITY, max_size=3).map(tuple)
FACTS = st.builds(
    Fact,
    name=TEXT,
    value=VALUES,
    standing=st.sampled_from(Standing),
    span=st.none() | SPANS,
    vehicle=st.integers(1, 2),
    what=TEXT,
    mentions=st.lists(SPANS, max_size=2).map(tuple),
)
NOTES = st.builds(HazardNote, TEXT, st.sampled_from(Signal), TEXT, stop=st.booleans(), span=st.none() | SPANS)
SENTENCES = st.builds(Sentence, TEXT, TEXT, st.integers(0, 3), st.booleans())
DRAFTS = st.builds(Draft, TEXT, st.lists(SENTENCES, max_size=3).map(tuple), st.none() | st.floats(allow_nan=False))


def several(kind: type, **parts: st.SearchStrategy[object]) -> st.SearchStrategy[tuple[object, ...]]:
    return st.lists(st.builds(kind, **parts), max_size=2).map(tuple)


TEXTS = st.lists(TEXT, max_size=2).map(tuple)
READINGS = st.builds(
    Reading,
    id=TEXT,
    facts=st.lists(FACTS, max_size=3).map(tuple),
    conflicts=several(Conflict, id=TEXT, facts=TEXTS, says=TEXT),
    gaps=several(Gap, fact=TEXT, ask=TEXT, worth=PROBABILITY),
    matches=several(Match, answer=TEXT, probability=PROBABILITY, why=TEXTS),
    decision=st.sampled_from(Decision),
    reasons=TEXTS,
    causes=several(CauseBelief, cause=TEXT, probability=PROBABILITY),
    checks=several(CheckStep, check=TEXT, cause=TEXT, cost=PROBABILITY, expected=TEXT, hazards=TEXTS),
    hazards=st.lists(NOTES, max_size=2).map(tuple),
    draft=DRAFTS,
    timing_ms=st.dictionaries(TEXT, PROBABILITY, max_size=2),
)


@given(READINGS)
def test_a_reading_survives_json(reading: Reading) -> None:
    assert reading_from_json(json.loads(json.dumps(reading_to_json(reading)))) == reading


def test_the_json_has_the_fields_scripts_rely_on() -> None:
    reading = Reading(
        id="q1",
        facts=(Fact("pack_voltage", 48, "V", span=Span(3, 7), basis="number and unit"),),
        conflicts=(Conflict("c", ("pack_voltage",), "cannot be"),),
        gaps=(Gap("year", "Which year?", 0.2),),
        matches=(Match("a1", 0.9),),
        decision=Decision.ASK,
        causes=(CauseBelief("flat", 0.5),),
        checks=(CheckStep("measure", "flat", 5.0, "below 48 V: charge"),),
        hazards=(HazardNote("live_pack", Signal.WARNING, "Isolate."),),
        draft=Draft("Re: q", (Sentence("Hello.", "wording:hello"),)),
    )
    record = json.loads(json.dumps(reading_to_json(reading)))

    def has(value: dict[str, object], *names: str) -> bool:
        return set(names) <= set(value)

    assert has(record, "id", "decision", "timing_ms") and record["decision"] == "ask"
    assert has(record["facts"][0], "name", "value", "unit", "standing", "start", "end", "basis")
    assert has(record["conflicts"][0], "id", "facts", "says")
    assert has(record["gaps"][0], "fact", "ask", "worth")
    assert has(record["matches"][0], "answer", "probability")
    assert has(record["causes"][0], "cause", "probability")
    assert has(record["checks"][0], "check", "cause", "cost", "expected")
    assert has(record["hazards"][0], "hazard", "signal", "note")
    assert record["draft"]["body"] == "Hello."
    assert has(record["draft"]["sentences"][0], "text", "from")


@pytest.fixture
def one(store: Store) -> Store:
    store.take_in(mail(), by="intake")
    return store


def test_earlier_readings_are_kept_and_the_last_round_is_the_present_one(one: Store) -> None:
    old, new = Reading("q1", reasons=("first",)), (Reading("q1"), Reading("q2"))
    one.save_reading(1, old, pack_digest="p1", by="program")
    one.save_reading(1, *new, pack_digest="p2", by="program")
    assert tuple(saved.reading for saved in one.thread(1).readings) == new
    assert [saved.pack_digest for saved in one.readings(1)] == ["p1", "p2", "p2"]
    assert one.readings(1)[0].reading == old


@pytest.mark.parametrize(
    ("notes", "rank"),
    [
        pytest.param((), NO_DANGER, id="no-hazard"),
        pytest.param((HazardNote("h", Signal.NOTICE, "n"),), 8, id="possible-notice"),
        pytest.param((HazardNote("h", Signal.DANGER, "n"),), 5, id="possible-danger"),
        pytest.param((HazardNote("h", Signal.NOTICE, "n", urgent=True),), 3, id="happening-beats-possible"),
        pytest.param((HazardNote("h", Signal.WARNING, "n", stop=True),), 1, id="stop-using-it"),
        pytest.param(
            (HazardNote("h", Signal.CAUTION, "n"), HazardNote("h", Signal.DANGER, "n", urgent=True)),
            0,
            id="worst",
        ),
    ],
)
def test_danger_rank_puts_what_is_happening_first(notes: tuple[HazardNote, ...], rank: int) -> None:
    assert danger_rank([Reading("q1"), Reading("q2", hazards=notes)]) == rank


def test_the_question_that_needs_most_care_decides_for_the_thread(one: Store) -> None:
    read = [Reading(f"q{n}", decision=d) for n, d in enumerate((Decision.ANSWER, Decision.HAND_OVER, Decision.ASK))]
    one.save_reading(1, *read, pack_digest="p", by="program")
    assert one.thread(1).decision == Decision.HAND_OVER


def test_a_fact_set_by_a_person_overrides_what_was_read(one: Store) -> None:
    read = Reading("q1", facts=(Fact("pack_voltage", 36, "V"), Fact("powertrain", "electric")))
    one.save_reading(1, read, pack_digest="p", by="program")
    one.set_fact(1, Fact("pack_voltage", 48, "V"), by="Wyn")

    def found(**facts: str | int) -> bool:
        return bool(one.queue(Filters(facts=facts)))

    assert found(pack_voltage=48, powertrain="electric") and not found(pack_voltage=36)
    one.save_reading(1, replace(read, reasons=("again",)), pack_digest="p", by="program")
    assert found(pack_voltage=48)
    one.withdraw_fact(1, "pack_voltage", by="Wyn")
    assert found(pack_voltage=36) and not found(pack_voltage=48)
    assert one.thread(1).facts == ()


@pytest.mark.parametrize("standing", [s for s in Standing if not s.holds])
def test_what_does_not_hold_is_not_found(one: Store, standing: Standing) -> None:
    one.save_reading(1, Reading("q", facts=(Fact("lift", 6, standing=standing),)), pack_digest="p", by="program")
    assert one.queue(Filters(facts={"lift": 6})) == []


def test_facts_that_repeat_are_set_together(one: Store) -> None:
    symptoms = (Fact("symptom", "clicks"), Fact("symptom", "slow"))
    one.set_fact(1, *symptoms, by="Wyn")
    assert one.thread(1).facts == symptoms
    one.set_fact(1, Fact("symptom", "dead"), by="Wyn")
    assert [fact.value for fact in one.thread(1).facts] == ["dead"]


def test_withdrawing_what_nobody_set_is_an_error(one: Store) -> None:
    with pytest.raises(StoreError, match="Nobody set the fact year"):
        one.withdraw_fact(1, "year", by="Wyn")


def test_drafts_are_kept_as_versions(one: Store) -> None:
    first = Draft("Re: x", (Sentence("One.", "answer:a"), Sentence("Two.", "person:Wyn", 1)), 80.5)
    assert one.save_draft(1, first, by="program") == 1
    assert one.save_draft(1, Draft("Re: x"), by="Wyn") == 2
    assert [(d.version, d.by) for d in one.thread(1).drafts] == [(1, "program"), (2, "Wyn")]
    assert one.thread(1).drafts[0].draft == first


def test_replies_say_what_was_told_how_and_by_whom(one: Store) -> None:
    one.record_reply(1, "Charge it first.", by="Odd", how="phone")
    (reply,) = one.thread(1).replies
    assert (reply.text, reply.by, reply.how) == ("Charge it first.", "Odd", "phone")


def test_the_export_is_one_json_object_a_thread(one: Store) -> None:
    one.take_in(mail("m2@mail.example", "other"), by="intake")
    one.save_reading(1, Reading("q1"), pack_digest="p", by="program", summary=Summary("a Lark", "clicks", ("year",)))
    one.set_fact(1, Fact("year", 2009), by="Wyn")
    one.save_draft(1, Draft("Re: x", (Sentence("One.", "answer:a"),)), by="Wyn")
    one.record_reply(1, "One.", by="Wyn")
    first, second = map(json.loads, export_lines(one))
    assert (first["state"], second["state"]) == ("replied", "new")
    assert first["messages"][0]["text"] == "my cart only clicks"
    assert first["summary"]["missing"] == ["year"]
    assert first["drafts"][0]["draft"]["body"] == first["replies"][0]["text"] == "One."
    assert first["readings"][0]["reading"]["id"] == "q1"
    assert len(first["history"]) == len(one.history(1))


def test_threads_may_be_changed_while_going_through_them(one: Store) -> None:
    one.take_in(mail("m2@mail.example", "other"), by="intake")
    for thread in one.each_thread():
        one.settle(thread.id, by="program")
    assert one.queue() == []

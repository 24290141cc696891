"""Askers who grow silent come back with a reminder; a short answer is read in the context of what was asked."""

from __future__ import annotations

from dataclasses import replace

import pytest
from letters import letter

from triage.desk import read_open, read_thread, take_in
from triage.intake import parse_message
from triage.mailbox.reminders import MOST, remind_waiting
from triage.model import Draft, Sentence
from triage.reply.reminder import is_reminder
from triage.store import ThreadState

ASK = "Is it a 36, 48 or 72 volt cart?"
FIND_OUT = "Read it off the charger's label."


@pytest.fixture
def days(demo):
    return demo.pack.shop.reminder_days


@pytest.fixture
def remind(store, demo, clock):
    return lambda: list(remind_waiting(store, demo.pack, demo.book, clock(), by="test"))


@pytest.fixture
def waits(store, demo):
    """A thread that waits for its asker; two things were asked."""
    asking(store, demo, ("gap:pack_voltage", f"- {ASK} ({FIND_OUT})"), ("gap:year", "- What year is it?"))
    return store


def asking(store, demo, *asks, text="My Lark only clicks."):
    """A question taken in, and a reply sent from a draft that asks these things."""
    take_in([parse_message(letter(1, text))], store, demo.pack)
    sentences = [Sentence("Dear Ida,", "wording:greeting_named", 0)]
    sentences += [Sentence(text, source, 1, text.startswith("-")) for source, text in asks]
    draft = Draft("Re: Cart clicks", tuple(sentences))
    store.save_draft(1, draft, by="test")
    store.record_reply(1, draft.body, by="wyn", message_id="r1@harrowlane.example", asks=True)


def test_nothing_is_said_before_the_shops_days_are_over(waits, remind, clock, days):
    clock.pass_days(days - 1)
    assert remind() == []
    assert waits.thread(1).state is ThreadState.WAITING_FOR_ASKER


def test_a_silent_asker_comes_back_with_a_reminder_that_repeats_the_questions(waits, remind, clock, days):
    clock.pass_days(days)
    assert remind() == [1]
    thread = waits.thread(1)
    body = thread.drafts[-1].draft.body
    assert thread.state is ThreadState.READY
    assert body.startswith("Dear Ida,") or "Ida," in body.split("\n")[0]
    assert f"- {ASK} ({FIND_OUT})" in body and "- What year is it?" in body
    assert "Wyn at the workshop" in body
    assert remind() == []  # once


def test_a_question_that_a_person_struck_out_before_sending_is_not_repeated(store, demo, remind, clock, days):
    asking(store, demo, ("gap:pack_voltage", f"- {ASK}"), ("gap:year", "- What year is it?"))
    store.reopen(1, by="wyn")
    store.record_reply(1, f"Dear Ida,\n\n{ASK}", by="wyn", asks=True)
    clock.pass_days(days)
    remind()
    body = store.thread(1).drafts[-1].draft.body
    assert ASK in body and "year" not in body


def test_a_reply_without_a_question_of_ours_is_pointed_at(store, demo, remind, clock, days):
    take_in([parse_message(letter(1))], store, demo.pack)
    store.record_reply(1, "Can you bring it in?", by="wyn", asks=True)
    clock.pass_days(days)
    assert remind() == [1]
    assert "our last mail" in store.thread(1).drafts[-1].draft.body


def test_the_last_reminder_says_so_and_then_there_is_peace(waits, remind, clock, days):
    for number in range(1, MOST + 1):
        clock.pass_days(days)
        assert remind() == [1]
        body = waits.thread(1).drafts[-1].draft.body
        assert (f"after {days} days without a reply" in body) == (number == MOST)
        assert ASK in body
        waits.record_reply(1, body, by="wyn", asks=True)
    clock.pass_days(10 * days)
    assert remind() == []


def test_an_answer_to_a_reminder_begins_the_count_anew(waits, demo, remind, clock, days):
    clock.pass_days(days)
    remind()
    waits.record_reply(1, waits.thread(1).drafts[-1].draft.body, by="wyn", asks=True)
    clock.pass_days(1)
    answer = letter(2, "Sorry, was away. Still have it.", answers=("r1@harrowlane.example",), day=30, hour=10)
    take_in([replace(parse_message(answer), sent=clock())], waits, demo.pack)
    waits.record_reply(1, f"Dear Ida,\n\n{ASK}", by="wyn", asks=True)
    clock.pass_days(days)
    assert remind() == [1]
    assert "without a reply" not in waits.thread(1).drafts[-1].draft.body


def test_a_reminder_is_not_read_over_when_the_pack_changes(waits, demo, remind, clock, days):
    clock.pass_days(days)
    remind()
    thread = waits.thread(1)
    read_thread(thread, waits, demo)  # as a pack would that was changed since
    waits.save_draft(1, thread.drafts[-1].draft, by="test")
    changed = replace(demo, pack=replace(demo.pack, digest="another"))
    assert list(read_open(waits, changed)) == []
    assert is_reminder(waits.thread(1).drafts[-1].draft)


def answered(store, demo, text, number=2, day=26):
    """The asker's answer taken in and read."""
    mail = parse_message(letter(number, text, answers=("r1@harrowlane.example",), day=day))
    take_in([mail], store, demo.pack)
    (reading,) = read_thread(store.thread(1), store, demo)
    return reading


def value(reading, name):
    return [fact.value for fact in reading.facts if fact.name == name and fact.standing.holds]


@pytest.mark.parametrize(
    ("text", "volts"), [("48", 48), ("the second one", 48), ("36 i think", 36), ("Thanks, the first. And 2012.", 36)]
)
def test_a_short_answer_becomes_a_fact_with_its_words(waits, demo, text, volts):
    reading = answered(waits, demo, text)
    (fact,) = [fact for fact in reading.facts if fact.name == "pack_voltage" and fact.standing.holds]
    assert fact.value == volts and fact.span is not None and fact.message == ""
    assert "pack_voltage" not in [gap.fact for gap in reading.gaps] or fact.standing.value == "hedged"


def test_what_was_answered_in_short_is_still_known_a_message_later(waits, demo):
    answered(waits, demo, "48\n2012")
    reading = answered(waits, demo, "I forgot to say: it has new tyres.", number=3, day=27)
    assert value(reading, "pack_voltage") == [48] and value(reading, "year") == [2012]


def test_what_the_asker_cannot_tell_is_not_asked_again(waits, demo):
    gaps = [gap.fact for gap in answered(waits, demo, "It is electric. No idea about the voltage.").gaps]
    assert "pack_voltage" not in gaps
    later = answered(waits, demo, "It still clicks by the way.", number=3, day=27)
    assert "pack_voltage" not in [gap.fact for gap in later.gaps]


def test_the_same_words_say_nothing_where_nothing_was_asked(store, demo):
    take_in([parse_message(letter(1, "My Lark only clicks."))], store, demo.pack)
    store.record_reply(1, "Come by on Friday.", by="wyn")
    take_in([parse_message(letter(2, "the second one", answers=("m1@mail.example",), day=26))], store, demo.pack)
    (reading,) = read_thread(store.thread(1), store, demo)
    assert "the second one" not in " ".join(fact.basis for fact in reading.facts)

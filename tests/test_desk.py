"""The desk: mail in, threads read, one draft per message; what the shop sent itself is no question."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from toys import Words, fact

from triage.desk import current_questions, draft_in, is_from_shop, read_open, readings_of, take_in, topic
from triage.engine import assemble
from triage.model import Address, Decision, HazardNote, Message, Question, Reading, Rejected, Signal
from triage.pack import load
from triage.pipeline import MOST_READ, UNREAD_TAIL, most_pressing, read, readable
from triage.store import UNREAD, Filters, Store

KNOWLEDGE = Path(__file__).parents[1] / "knowledge"
START = datetime(2026, 11, 9, 8, 0, tzinfo=UTC)
IDA = Address("ida@mail.example", "Ida Fen")


@pytest.fixture(scope="module")
def stages(tmp_path_factory):
    return assemble(load(KNOWLEDGE), Words(), tmp_path_factory.mktemp("cache"))


@pytest.fixture
def store(tmp_path):
    with Store.open(tmp_path / "queue.db", now=lambda: START + timedelta(days=1)) as opened:
        yield opened


def mail(id: str, text: str, *, sender: Address = IDA, hours: float = 0, refs: tuple[str, ...] = ()) -> Message:
    return Message(
        id=f"{id}@mail.example", channel="mail", sender=sender, subject="Lark", text=text,
        sent=START + timedelta(hours=hours), references=tuple(f"{ref}@mail.example" for ref in refs),
        raw=f"Subject: Lark\r\n\r\n{text}".encode(),
    )  # fmt: skip


FIRST = mail("m1", "My 2012 Lark, 48 V, clicks but will not move.")
SECOND = mail("m2", "I replaced the solenoid, still nothing.", hours=5, refs=("m1",))
TWO = mail("m3", "1. My 2012 Lark clicks but will not move. Why?\n\n2. Which tyre size fits a Ridge with a 3 in lift?")


def test_everything_that_arrived_is_counted_once(store, stages):
    own = mail("m9", "Fwd: hello", sender=Address(stages.pack.shop.mail))
    tally = take_in([FIRST, FIRST, own, Rejected("box, message 3", "cut short", b"x")], store, stages.pack)
    assert (tally.new, tally.duplicate, tally.automatic, tally.rejected, tally.total) == (1, 1, 1, 1, 4)
    assert len(tally.threads) == 1


@pytest.mark.parametrize(
    ("email", "ours"),
    [
        ("workshop@harrowlane.example", True),
        ("wyn@harrowlane.example", True),
        ("wyn@notharrowlane.example", False),
        ("ida@mail.example", False),
    ],
)
def test_the_shops_own_mail_is_known(stages, email, ours):
    assert is_from_shop(mail("m1", "hello", sender=Address(email)), stages.pack) == ours


def test_a_thread_is_read_once_until_something_comes(store, stages):
    take_in([FIRST], store, stages.pack)
    assert len(list(read_open(store, stages))) == 1
    assert list(read_open(store, stages)) == []
    take_in([SECOND], store, stages.pack)
    assert len(list(read_open(store, stages))) == 1


def test_a_changed_pack_has_its_threads_read_again(store, stages):
    take_in([FIRST], store, stages.pack)
    list(read_open(store, stages))
    changed = replace(stages, pack=replace(stages.pack, digest="other"))
    assert len(list(read_open(store, changed))) == 1


def test_the_next_message_is_read_with_what_the_first_one_told(store, stages):
    take_in([FIRST, SECOND], store, stages.pack)
    (number,) = read_open(store, stages)
    thread = store.thread(number)
    (question,) = current_questions(thread)
    assert question.message == SECOND.id
    (reading,) = readings_of(thread, stages)
    carried = {fact.name: fact.value for fact in reading.facts if fact.message == FIRST.id}
    assert carried["pack_voltage"] == 48 and carried["model"] == "Lark"


def test_two_questions_get_one_draft_with_one_greeting(store, stages):
    take_in([TWO], store, stages.pack)
    (number,) = read_open(store, stages)
    thread = store.thread(number)
    assert len(current_questions(thread)) == 2 and len(thread.readings) == 2
    sources = [sentence.source for sentence in thread.drafts[-1].draft.sentences]
    assert sum(source.startswith("wording:greeting") for source in sources) == 1
    assert sources.count("wording:sign_off") == 1 and "wording:second_question_intro" in sources


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Which tyre?", "Which tyre?"),
        ("  Which \n tyre? ", "Which tyre?"),
        ("word " * 40, " ".join(["word"] * 11) + "..."),
        ("", ""),
    ],
)
def test_a_question_without_a_symptom_is_named_by_its_own_words(stages, text, shown):
    assert topic(text, Reading("q"), stages.pack) == shown


def test_a_question_with_a_symptom_is_named_by_it(stages):
    assert topic("it just clicks", Reading("q", (fact("symptom", "squeak"),)), stages.pack) == "squeaks"


DANGER = mail("d1", "There is fire and thick smoke coming from under the seat!")
CALM = mail("d2", "It is a 2015, sorry.", hours=1, refs=("d1",))


def test_a_danger_nobody_answered_still_counts_when_the_next_message_is_calm(store, stages):
    take_in([DANGER, CALM], store, stages.pack)
    (number,) = read_open(store, stages)
    (saved,) = store.thread(number).readings
    assert saved.reading.decision is Decision.HAND_OVER
    urgent = [note for note in saved.reading.hazards if note.urgent]
    assert urgent and all(note.message == DANGER.id for note in urgent)
    assert all(note.basis.startswith("said earlier: ") for note in urgent)
    assert store.queue(Filters(danger_up_to=UNREAD - 1))  # it stands among the dangers reported


def test_a_danger_that_was_answered_is_over(store, stages):
    take_in([DANGER], store, stages.pack)
    (number,) = read_open(store, stages)
    store.record_reply(number, "Get away from it and call the fire service.", by="Wyn")
    take_in([mail("d3", "Thank you. Which tyres fit it?", hours=48, refs=("d1",))], store, stages.pack)
    list(read_open(store, stages))
    (saved,) = store.thread(number).readings
    assert not any(note.message for note in saved.reading.hazards)


def test_dangers_told_twice_are_one_and_the_pressing_one_stays():
    told = (
        HazardNote("a", Signal.CAUTION, "n"),
        HazardNote("b", Signal.DANGER, "n"),
        HazardNote("c", Signal.NOTICE, "n"),
    )
    earlier = (replace(told[0], urgent=True, message="m"), replace(told[1], message="m"))
    found = [(note.hazard, note.urgent, note.message) for note in most_pressing((*earlier, *told))]
    assert found == [("a", True, "m"), ("b", False, "m"), ("c", False, "")]


LONG = "My 48 volt cart clicks. " + "It was a long day again. " * 2_000 + "It is a 2015."


def test_of_a_very_long_message_the_beginning_is_read_and_all_is_kept(store, stages):
    take_in([mail("long", LONG)], store, stages.pack)
    (number,) = read_open(store, stages)
    thread = store.thread(number)
    assert thread.messages[0].text == LONG and UNREAD_TAIL in thread.messages[0].notes
    assert all(len(question.text) <= MOST_READ for question in thread.questions)
    (saved,) = thread.readings
    assert UNREAD_TAIL in saved.reading.reasons
    assert {fact.name for fact in saved.reading.facts} >= {"pack_voltage"}
    assert "year" not in {fact.name for fact in saved.reading.facts}


def test_a_long_text_read_by_itself_says_so_too(stages):
    assert UNREAD_TAIL in read(Question("q", LONG), stages).reasons
    assert UNREAD_TAIL not in read(Question("q", "My cart clicks."), stages).reasons


@pytest.mark.parametrize(
    ("text", "kept"),
    [("a" * 10, 10), ("a" * 30_000, 20_000), ("word " * 5_000, 19_999), ("a b" + "c" * 30_000, 20_000)],
)
def test_a_long_text_is_cut_at_a_blank_where_one_is_near(text, kept):
    assert len(readable(text)) == kept


def test_a_draft_in_its_own_style_is_the_one_kept(store, stages):
    take_in([TWO], store, stages.pack)
    (number,) = read_open(store, stages)
    thread = store.thread(number)
    assert draft_in("mail", thread, stages.pack) == thread.drafts[-1].draft


@pytest.mark.parametrize(("style", "sign_off"), [("chat", "wording:chat_sign_off"), ("aloud", "wording:aloud_closing")])
def test_two_questions_in_another_style_have_one_greeting_and_one_end(store, stages, style, sign_off):
    take_in([TWO], store, stages.pack)
    (number,) = read_open(store, stages)
    draft = draft_in(style, store.thread(number), stages.pack)
    sources = [sentence.source for sentence in draft.sentences]
    assert sum("greeting" in source for source in sources) == 1 and "greeting" in sources[0]
    assert sources.count(sign_off) == 1 and sources[-1] == sign_off

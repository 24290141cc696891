"""Taking in: everything is kept once, as it came."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from triage.model import Address, Attachment, Message, Question, Rejected
from triage.store import Arrival, Store, ThreadState, What

from .looking import assert_whole, dump
from .mails import IDA, ODD, START, Clock, mail

FULL = replace(
    mail(),
    quoted="> Which year is it?",
    forwarded="---- forwarded ----",
    signature="Ida",
    in_reply_to=("a@mail.example",),
    references=("r@mail.example", "a@mail.example"),
    to=(Address("workshop@harrowlane.example", "Harrow Lane Cart Works"),),
    reply_to=Address("ida@home.example"),
    attachments=(Attachment("plate.png", "image/png", 68),),
    notes=("charset unknown-8bit read as cp1252",),
)


def test_a_message_comes_back_as_it_was(store: Store) -> None:
    taken = store.take_in(FULL, by="intake")
    assert taken.arrival == Arrival.NEW
    assert taken.thread is not None
    assert store.thread(taken.thread).messages == (replace(FULL, raw=b""),)
    assert store.raw(FULL.id) == FULL.raw


@pytest.mark.parametrize(
    "again",
    [
        pytest.param(FULL, id="same-bytes"),
        pytest.param(replace(FULL, raw=b"Received: by another way\r\n" + FULL.raw), id="other-transport-headers"),
        pytest.param(replace(FULL, text=FULL.text + "\r\n"), id="other-line-ends"),
        pytest.param(replace(FULL, sent=START.astimezone(timezone(timedelta(hours=-5)))), id="same-moment-other-zone"),
    ],
)
def test_the_same_mail_taken_in_twice_changes_nothing(store: Store, path: Path, again: Message) -> None:
    first = store.take_in(FULL, by="intake")
    before = dump(path)
    taken = store.take_in(again, by="someone else", subject_key="cart clicks")
    assert (taken.arrival, taken.thread) == (Arrival.DUPLICATE, first.thread)
    assert dump(path) == before


def test_a_message_id_used_again_for_other_words_keeps_both(store: Store) -> None:
    one = store.take_in(mail(text="it clicks"), by="intake")
    two = store.take_in(mail(text="and now it smokes"), by="intake")
    assert one.thread == two.thread == 1
    thread = store.thread(1)
    assert [m.text for m in thread.messages] == ["it clicks", "and now it smokes"]
    assert [m.id for m in thread.messages] == [one.message, two.message]
    assert len({one.message, two.message}) == 2
    assert store.take_in(mail(text="and now it smokes"), by="intake").arrival == Arrival.DUPLICATE


def test_a_row_number_used_again_by_another_asker_is_another_thread(store: Store) -> None:
    one = store.take_in(mail("17"), by="intake")
    two = store.take_in(mail("17", "how do I clean the seat", sender=ODD), by="intake")
    assert one.thread != two.thread


def test_questions_follow_the_id_their_message_is_kept_under(store: Store) -> None:
    store.take_in(mail(), by="intake")
    second = mail(text="two more things")
    question = Question(f"{second.id}#1", "two more things", message=second.id)
    taken = store.take_in(second, by="intake", questions=[question])
    (kept,) = store.thread(1).questions
    assert (kept.id, kept.message, kept.text) == (f"{taken.message}#1", taken.message, "two more things")


def test_automatic_mail_is_kept_apart_from_the_queue(store: Store) -> None:
    taken = store.take_in(mail(automatic="Auto-Submitted: auto-replied"), by="intake")
    assert taken.arrival == Arrival.AUTOMATIC
    assert store.counts()[ThreadState.AUTOMATIC] == 1
    assert store.queue() == []


def test_what_is_rejected_is_kept_once_with_its_bytes(store: Store, path: Path) -> None:
    broken = Rejected("inbox.mbox, message 17", "no header", b"\x00\xff garbage")
    assert store.take_in(broken, by="intake").arrival == Arrival.REJECTED
    before = dump(path)
    assert store.take_in(broken, by="intake").arrival == Arrival.DUPLICATE
    assert dump(path) == before
    assert [mail.rejected for mail in store.rejected()] == [broken]
    assert [entry.what for entry in store.history(None)] == [What.REJECTED]


def test_a_date_in_the_future_does_not_hide_a_question(store: Store) -> None:
    store.take_in(mail(hours=24 * 365), by="intake")
    (row,) = store.queue()
    assert row.waiting_since < START + timedelta(days=2)


@pytest.mark.parametrize("year", [1, 9999])
def test_a_damaged_date_is_no_reason_to_stop(store: Store, year: int) -> None:
    edge = datetime(year, 1, 1, tzinfo=timezone(timedelta(hours=14)))
    if year == 9999:
        edge = datetime(year, 12, 31, 23, 59, tzinfo=timezone(timedelta(hours=-12)))
    store.take_in(replace(mail(), sent=edge), by="intake")
    assert store.thread(1).messages[0].sent == edge


def test_characters_that_utf8_cannot_hold_are_marked(store: Store) -> None:
    store.take_in(mail(text="caf\udce9 cart", subject="\udcff"), by="intake")
    thread = store.thread(1)
    assert (thread.subject, thread.messages[0].text) == ("?", "caf? cart")


def test_every_change_is_signed(store: Store) -> None:
    with pytest.raises(ValueError, match="by whom"):
        store.take_in(mail(), by=" ")


def test_a_name_learnt_later_is_added_to_the_person(store: Store) -> None:
    store.take_in(mail("a@x.example", sender=Address(IDA.email)), by="intake")
    store.take_in(mail("b@x.example", "another thing"), by="intake")
    assert {row.asker for row in store.queue()} == {IDA}


def test_two_callers_without_an_address_are_told_apart_by_name(store: Store) -> None:
    for name in ("Ida", "Odd"):
        store.take_in(mail(f"note-{name}", sender=Address("", name)), by="desk")
    assert [row.asker.name for row in store.queue()] == ["Ida", "Odd"]


def test_a_batch_keeps_what_is_finished_when_it_ends_by_an_error(store: Store, path: Path) -> None:
    with pytest.raises(KeyboardInterrupt), store.batch(every=100):
        for n in range(7):
            store.take_in(mail(f"m{n}@mail.example", f"text {n}"), by="intake")
        raise KeyboardInterrupt
    assert len(store.queue()) == 7
    assert_whole(path)


def test_a_refused_change_in_a_batch_leaves_the_others(store: Store) -> None:
    with store.batch():
        store.take_in(mail(), by="intake")
        with pytest.raises(LookupError, match="no thread 99"):
            store.settle(99, by="Wyn")
        store.take_in(mail("m2@mail.example", "other"), by="intake")
    assert len(store.queue()) == 2


TEXT = st.text(max_size=40)
ADDRESSES = st.builds(Address, email=TEXT, name=TEXT)
MESSAGES = st.builds(
    Message,
    id=st.text(min_size=1, max_size=8),
    channel=st.sampled_from(["mail", "form", "chat", "phone"]),
    sender=ADDRESSES,
    subject=TEXT,
    sent=st.none() | st.datetimes(timezones=st.just(UTC)),
    text=TEXT,
    quoted=TEXT,
    in_reply_to=st.lists(TEXT, max_size=2).map(tuple),
    references=st.lists(TEXT, max_size=3).map(tuple),
    to=st.lists(ADDRESSES, max_size=2).map(tuple),
    automatic=st.sampled_from(["", "list mail"]),
    raw=st.binary(max_size=60),
)


@given(messages=st.lists(MESSAGES, max_size=12))
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_arrives_is_kept_exactly_once(
    tmp_path_factory: pytest.TempPathFactory, messages: list[Message]
) -> None:
    path = tmp_path_factory.mktemp("any") / "queue.db"
    with Store.open(path, now=Clock()) as store:
        taken = [store.take_in(m, by="intake", subject_key=m.subject.lower()) for m in messages]
        kept = {t.message: m for t, m in zip(taken, messages, strict=True) if t.arrival != Arrival.DUPLICATE}
        found = {m.id: m for thread in store.each_thread() for m in thread.messages}
        assert set(found) == set(kept)
        assert all(found[id].text == kept[id].text and store.raw(id) == kept[id].raw for id in kept)
        again = [store.take_in(m, by="intake", subject_key=m.subject.lower()) for m in messages]
        assert {t.arrival for t in again} <= {Arrival.DUPLICATE}
    assert_whole(path)

"""Which thread a message belongs to. RFC 5322 section 3.6.4 for the ids, RFC 5256 for the base subject."""

from itertools import permutations
from pathlib import Path

import pytest

from triage.model import Address, Fact, Message, Reading
from triage.store import Filters, Store, StoreError, Summary, ThreadState, What

from .looking import assert_whole
from .mails import IDA, ODD, START, Clock, mail

ROOT = mail("a@mail.example", "it clicks", subject="Cart clicks")
CHILD = mail("b@mail.example", "it is a 2009", subject="Re: Cart clicks", refs=("a@mail.example",), hours=1)
GRANDCHILD = mail("c@mail.example", "48 V", subject="48", refs=("a@mail.example", "b@mail.example"), hours=2)
CONVERSATION = (ROOT, CHILD, GRANDCHILD)


@pytest.mark.parametrize("order", [pytest.param(p, id="".join(m.id[0] for m in p)) for p in permutations(CONVERSATION)])
def test_a_conversation_is_one_thread_in_whatever_order_it_comes(
    store: Store, path: Path, order: tuple[Message, ...]
) -> None:
    for message in order:
        store.take_in(message, by="intake")
    (row,) = store.queue()
    assert (row.subject, row.asker, row.messages, row.waiting_since) == ("Cart clicks", IDA, 3, START)
    assert [m.text for m in store.thread(row.thread).messages] == ["it clicks", "it is a 2009", "48 V"]
    assert_whole(path)


def test_a_reply_that_names_only_its_parent_finds_the_thread(store: Store) -> None:
    store.take_in(ROOT, by="intake")
    store.take_in(mail("z@mail.example", "x", sender=ODD, reply_to=("a@mail.example",)), by="intake")
    assert len(store.queue()) == 1


def test_an_answer_taken_in_before_our_reply_was_recorded_joins_the_thread(store: Store) -> None:
    store.take_in(ROOT, by="intake")
    store.take_in(mail("n@mail.example", "2009", reply_to=("ours@harrowlane.example",)), by="intake")
    store.record_reply(1, "Which year?", by="Wyn", message_id="ours@harrowlane.example", asks=True)
    assert [(row.messages, row.state) for row in store.queue()] == [(2, ThreadState.NEW)]


def test_two_replies_to_a_mail_we_never_saw_are_one_thread(store: Store) -> None:
    for id in ("x@mail.example", "y@mail.example"):
        store.take_in(mail(id, id, refs=("lost@mail.example",)), by="intake")
    assert len(store.queue()) == 1


def test_an_answer_to_our_own_reply_finds_the_thread(store: Store) -> None:
    store.take_in(ROOT, by="intake")
    store.record_reply(1, "Which year?", by="Wyn", message_id="ours@harrowlane.example", asks=True)
    store.take_in(mail("n@mail.example", "2009", reply_to=("ours@harrowlane.example",)), by="intake")
    assert [row.messages for row in store.queue()] == [2]


@pytest.mark.parametrize(
    ("subject", "sender", "key", "threads"),
    [
        pytest.param("Re: Cart clicks", IDA, "cart clicks", 1, id="reply-of-the-same-person"),
        pytest.param("FWD: cart clicks", IDA, "cart clicks", 1, id="forward"),
        pytest.param("[shop] re[2]: Cart clicks", IDA, "cart clicks", 1, id="list-tag-and-count"),
        pytest.param("Cart clicks", IDA, "cart clicks", 2, id="same-subject-but-no-reply"),
        pytest.param("Re: Cart clicks", ODD, "cart clicks", 2, id="another-person"),
        pytest.param("Re: Cart stops", IDA, "cart stops", 2, id="another-subject"),
        pytest.param("Re: Cart clicks", IDA, "", 2, id="caller-gives-no-key"),
        pytest.param("Regarding: Cart clicks", IDA, "cart clicks", 2, id="only-looks-like-re"),
    ],
)
def test_subject_joins_only_replies_of_the_same_person(
    store: Store, subject: str, sender: Address, key: str, threads: int
) -> None:
    store.take_in(ROOT, by="intake", subject_key="cart clicks")
    store.take_in(mail("q@mail.example", "more", subject=subject, sender=sender), by="intake", subject_key=key)
    assert len(store.queue()) == threads


@pytest.fixture
def joined(store: Store) -> Store:
    """Threads 1 and 2, worked on, then found to be one by a mail that refers to both."""
    store.take_in(mail("a@mail.example", "it clicks"), by="intake")
    store.take_in(mail("b@mail.example", "it smokes", hours=1), by="intake")
    store.save_reading(2, Reading("b#1"), pack_digest="p", by="Wyn", summary=Summary("a Lark", "smokes"))
    store.set_fact(2, Fact("year", 2009), by="Wyn")
    store.settle(1, by="Wyn")
    store.take_in(mail("c@mail.example", "both", refs=("a@mail.example", "b@mail.example"), hours=2), by="intake")
    return store


def test_threads_found_to_be_one_are_joined_with_all_they_hold(joined: Store, path: Path) -> None:
    (row,) = joined.queue()
    assert (row.thread, row.state, row.messages, row.summary.vehicle) == (1, ThreadState.NEW, 3, "a Lark")
    thread = joined.thread(1)
    assert [fact.value for fact in thread.facts] == [2009]
    assert [saved.reading.id for saved in thread.readings] == ["b#1"]
    assert len(joined.queue(Filters(facts={"year": 2009}))) == 1
    assert_whole(path)


def test_the_number_of_a_joined_thread_still_works(joined: Store) -> None:
    assert joined.thread(2) == joined.thread(1)
    joined.note(2, "called", by="Wyn")
    whats = [entry.what for entry in joined.history(2)]
    assert whats.count(What.ARRIVED) == 3
    assert {What.JOINED, What.NOTE, What.READING} <= set(whats)


def test_numbers_work_through_one_join_after_another(store: Store) -> None:
    for n, refs in enumerate([(), (), (), ("m2", "m3"), ("m1", "m2")], start=1):
        store.take_in(mail(f"m{n}", f"text {n}", refs=refs), by="intake")
    assert [store.thread(n).id for n in (1, 2, 3)] == [1, 1, 1]
    assert len(store.thread(1).messages) == 5
    assert [entry.what for entry in store.history(3)].count(What.ARRIVED) == 5


@pytest.mark.parametrize("refs", [("b@mail.example", "a@mail.example"), ("a@mail.example", "b@mail.example")])
def test_a_thread_kept_apart_is_not_joined_by_a_mail_that_refers_to_both(store: Store, refs: tuple[str, ...]) -> None:
    for message in CONVERSATION:
        store.take_in(message, by="intake")
    store.split_off("b@mail.example", by="Wyn")
    store.take_in(mail("d@mail.example", "x", refs=refs, hours=3), by="intake")
    assert len(store.queue()) == 2


def test_a_message_split_off_stays_apart(store: Store, path: Path) -> None:
    for message in CONVERSATION:
        store.take_in(message, by="intake")
    apart = store.split_off("b@mail.example", by="Wyn")
    assert [m.id for m in store.thread(apart).messages] == ["b@mail.example"]
    later = mail("d@mail.example", "x", refs=("a@mail.example", "b@mail.example"), hours=3)
    store.take_in(later, by="intake")
    assert {row.thread: row.messages for row in store.queue()} == {1: 2, apart: 2}
    assert_whole(path)


def test_the_only_message_of_a_thread_cannot_be_split_off(store: Store) -> None:
    store.take_in(ROOT, by="intake")
    with pytest.raises(StoreError, match="nothing to split"):
        store.split_off("a@mail.example", by="Wyn")


def test_threads_are_kept_when_the_store_is_opened_again(path: Path) -> None:
    for message in reversed(CONVERSATION):
        with Store.open(path, now=Clock()) as store:
            store.take_in(message, by="intake")
    with Store.open(path, now=Clock(), create=False) as store:
        assert [row.messages for row in store.queue()] == [3]

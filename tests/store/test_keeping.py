"""Copies of the whole store, and a person forgotten: real files, looked at byte by byte."""

from __future__ import annotations

import sqlite3
import threading
import zlib
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from triage.model import Address, Draft, Fact, Question, Reading, Rejected, Sentence, Span
from triage.store import NotFound, Store, StoreError, Summary, back_up, looked_through, put_back

from .looking import ask, assert_whole
from .mails import IDA, ODD, Clock, mail

AT = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
ROSE = Address("rose@far.example", "Rose Quillfeather")


def filled(store: Store, sender: Address = IDA, id: str = "m1@mail.example", word: str = "ordinary") -> int:
    """A thread with something in every table; `word` stands in all that is told or said."""
    message = mail(id, f"My {word} cart clicks.", sender=sender, subject=f"About {word}")
    question = Question(f"{id}#1", f"My {word} cart clicks.", f"About {word}", sender.name, id)
    thread = store.take_in(message, by="test", subject_key=f"about {word}", questions=[question]).thread
    assert thread is not None
    fact = Fact("make", word, span=Span(3, 3 + len(word)), basis=f"words: '{word}'")
    draft = Draft(f"Re: About {word}", (Sentence(f"Dear {sender.name}, about your {word} cart.", "wording:greeting"),))
    reading = Reading(f"{id}#1", (fact,), draft=draft)
    store.save_reading(thread, reading, pack_digest="p", by="test", summary=Summary(word, f"{word} clicks"))
    store.save_draft(thread, draft, by="test")
    store.set_fact(thread, Fact("model", f"{word}-model"), by="wyn")
    store.record_reply(thread, f"{draft.body} {word}", by="wyn", message_id=f"r-{id}")
    store.note(thread, f"{sender.name} rang about the {word} cart", by="wyn")
    store.settle(thread, by="wyn", outcome=f"the {word} solenoid")
    return thread


# Copies


def test_a_copy_holds_everything_and_is_one_file(store: Store, path: Path, tmp_path: Path) -> None:
    filled(store)
    copied = back_up(path, tmp_path / "copy.db")
    assert (copied.threads, copied.messages) == (1, 1)
    assert sorted(file.name for file in tmp_path.glob("*copy.db*")) == ["copy.db"]
    with Store.open(tmp_path / "copy.db", now=Clock(), create=False) as copy:
        assert copy.thread(1) == store.thread(1)


def test_a_copy_never_takes_the_place_of_a_file(store: Store, path: Path, tmp_path: Path) -> None:
    (tmp_path / "copy.db").write_text("mine")
    with pytest.raises(StoreError, match="is there already"):
        back_up(path, tmp_path / "copy.db")
    assert (tmp_path / "copy.db").read_text() == "mine"


def test_a_copy_made_while_others_write_is_whole(store: Store, path: Path, tmp_path: Path) -> None:
    done = threading.Event()

    def writing() -> None:
        with Store.open(path, now=Clock(), busy_seconds=30) as other:
            for number in range(2000):
                if done.is_set():
                    return
                other.take_in(mail(f"w{number}@mail.example", sender=ODD, hours=number), by="other")

    beside = threading.Thread(target=writing)
    beside.start()
    copies = [back_up(path, tmp_path / f"copy{n}.db") for n in range(5)]
    done.set()
    beside.join()
    assert [copy.messages for copy in copies] == sorted(copy.messages for copy in copies)
    assert_whole(tmp_path / "copy4.db")


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda data: data[: len(data) // 2], "damaged"),
        (lambda data: data[:8192] + bytes(8192) + data[16384:], "damaged"),
        (lambda data: b"not a database at all " * 100, "not a store"),
        (lambda data: b"", "empty"),
    ],
    ids=["cut short", "overwritten in the middle", "another file", "empty"],
)
def test_a_copy_that_is_not_sound_is_refused_before_anything_changes(
    store: Store, path: Path, tmp_path: Path, spoil, said: str
) -> None:
    filled(store)
    copy = tmp_path / "copy.db"
    back_up(path, copy)
    copy.write_bytes(spoil(copy.read_bytes()))
    before = store.thread(1)
    with pytest.raises(StoreError, match=said):
        put_back(copy, path, AT)
    assert store.thread(1) == before
    assert not list(tmp_path.glob("*.before-*"))


def test_another_programs_database_is_no_copy(store: Store, path: Path, tmp_path: Path) -> None:
    other = sqlite3.connect(tmp_path / "other.db")
    other.execute("create table sheep (name text)")
    other.close()
    with pytest.raises(StoreError, match="another program"):
        put_back(tmp_path / "other.db", path, AT)


def test_what_was_put_back_is_what_was_copied_and_the_old_is_kept_beside(
    store: Store, path: Path, tmp_path: Path
) -> None:
    filled(store)
    before = store.thread(1)
    back_up(path, tmp_path / "copy.db")
    store.reopen(1, by="wyn")
    filled(store, ODD, "m2@mail.example")
    store.close()
    copied, aside = put_back(tmp_path / "copy.db", path, AT)
    assert copied.threads == 1 and aside == tmp_path / "queue.db.before-20261125-093000"
    assert looked_through(aside).threads == 2
    with Store.open(path, now=Clock()) as again:
        assert again.thread(1) == before


def test_a_program_that_has_the_store_open_sees_what_was_put_back(store: Store, path: Path, tmp_path: Path) -> None:
    filled(store)
    back_up(path, tmp_path / "copy.db")
    filled(store, ODD, "m2@mail.example")
    put_back(tmp_path / "copy.db", path, AT)
    assert len(list(store.each_thread())) == 1
    filled(store, ODD, "m3@mail.example")
    assert_whole(path)


def test_a_store_that_is_gone_is_made_anew_from_a_copy(store: Store, path: Path, tmp_path: Path) -> None:
    filled(store)
    back_up(path, tmp_path / "copy.db")
    assert put_back(tmp_path / "copy.db", tmp_path / "new.db", AT)[1] is None
    with Store.open(tmp_path / "new.db", now=Clock(), create=False) as again:
        assert again.thread(1) == store.thread(1)


# Forgetting

WORD = "quixotriculent"  # stands nowhere else


def traces(path: Path, *words: str) -> list[str]:
    """Files of the store that hold one of the words, as they stand or as SQLite packs them."""
    found = []
    for file in path.parent.glob(f"{path.name}*"):
        data = file.read_bytes().lower()
        found += [f"{file.name}: {word}" for word in words if word.encode().lower() in data]
    return found


@pytest.fixture
def two_people(store: Store) -> Store:
    filled(store)
    filled(store, ROSE, "m2@far.example", WORD)
    return store


def test_no_byte_of_a_forgotten_person_stays_in_the_file(two_people: Store, path: Path) -> None:
    assert traces(path, WORD, "quillfeather", "rose@far.example")
    two_people.forget("rose@far.example", by="wyn")
    assert traces(path, WORD, "quillfeather", "rose@far.example", "m2@far.example") == []
    two_people.close()
    assert traces(path, WORD, "quillfeather", "rose@far.example", "m2@far.example") == []
    packed = [row[0] for row in ask(path, "select bytes from raw union all select bytes from rejected")]
    assert not any(WORD.encode() in zlib.decompress(blob) for blob in packed)


def test_what_others_asked_stays_as_it_was(two_people: Store, path: Path) -> None:
    before, history = two_people.thread(1), two_people.history(1)
    two_people.forget("rose@far.example", by="wyn")
    assert (two_people.thread(1), two_people.history(1)) == (before, history)
    assert [row.thread for row in two_people.search("clicks")] == [1]
    assert looked_through(path).messages == 1


def test_it_says_what_was_removed_and_a_look_says_the_same_first(two_people: Store) -> None:
    look = two_people.would_forget("rose@far.example")
    assert two_people.thread(2).asker == ROSE
    done = two_people.forget("rose@far.example", by="wyn")
    assert done == look
    wanted = {"threads": 1, "messages": 1, "questions": 1, "readings": 1, "drafts": 1, "replies": 1, "facts_set": 1}
    assert done.threads == (2,) and {table: done.rows[table] for table in wanted} == wanted
    (entry,) = [entry for entry in two_people.history(None) if entry.what == "person forgotten"]
    assert entry.by == "wyn" and entry.after["threads"] == [2]


def test_the_history_keeps_that_something_happened_and_refuses_changes_again(two_people: Store, path: Path) -> None:
    number = ask(path, "select count(*) from history")[0][0]
    two_people.forget("rose@far.example", by="wyn")
    assert ask(path, "select count(*) from history")[0][0] == number + 1
    connection = sqlite3.connect(path)
    for change in ("update history set by = 'x'", "delete from history"):
        with pytest.raises(sqlite3.IntegrityError, match="append-only"):
            connection.execute(change)
    connection.close()


def test_the_person_may_be_named_by_name(two_people: Store) -> None:
    assert two_people.would_forget("rose quillfeather").threads == (2,)


def test_two_of_one_name_are_told_apart_by_address(store: Store) -> None:
    filled(store, Address("ida@other.example", "Ida Fen"))
    filled(store, IDA, "m2@mail.example")
    filled(store, Address("", "Ida Fen"), "m3@mail.example")
    with pytest.raises(StoreError, match=r"Several people .*ida@other\.example"):
        store.forget("Ida Fen", by="wyn")
    assert store.forget("Ida Fen <>", by="wyn").threads == (3,)
    assert store.forget("IDA@mail.example", by="wyn").threads == (2,)
    assert len(list(store.each_thread())) == 1


def test_nobody_of_that_name_is_said(two_people: Store) -> None:
    with pytest.raises(NotFound, match="Nobody of the name"):
        two_people.forget("nobody@mail.example", by="wyn")


def test_threads_joined_to_the_persons_go_too(store: Store, path: Path) -> None:
    filled(store, ROSE, "m1@far.example", WORD)
    filled(store, ROSE, "m2@far.example", WORD)
    bridge = mail("m3@far.example", WORD, sender=ROSE, refs=("m1@far.example", "m2@far.example"), hours=5)
    store.take_in(bridge, by="test")
    assert store.forget("rose@far.example", by="wyn").threads == (1, 2)
    assert traces(path, WORD) == []


def test_a_thread_in_which_others_wrote_too_is_counted_before_it_goes(store: Store) -> None:
    filled(store, ROSE, "m1@far.example", WORD)
    store.take_in(mail("m2@post.example", "me too", sender=ODD, refs=("m1@far.example",), hours=4), by="test")
    look = store.would_forget("rose@far.example")
    assert (look.threads, look.others) == ((1,), 1)


def test_where_others_name_the_person_it_is_told_and_left(two_people: Store) -> None:
    quoting = replace(mail("m5@post.example", sender=ODD, hours=9), quoted="rose@far.example wrote:")
    two_people.take_in(quoting, by="test")
    assert two_people.forget("rose@far.example", by="wyn").mentions == (3,)


def test_unreadable_mail_of_the_person_goes_too(two_people: Store, path: Path) -> None:
    raw = b"From: rose@far.example\nbroken " + WORD.encode()
    two_people.take_in(Rejected(f"box of {WORD}, message 3", "cut short", raw), by="test")
    two_people.take_in(Rejected("box, message 4", "cut short", b"somebody else's"), by="test")
    assert two_people.forget("rose@far.example", by="wyn").rows["rejected"] == 1
    assert [mail.rejected.source for mail in two_people.rejected()] == ["box, message 4"]
    assert traces(path, WORD) == []


def test_forgetting_that_fails_half_way_changes_nothing(two_people: Store, path: Path, monkeypatch) -> None:
    monkeypatch.setattr("triage.store.forgetting._NOBODYS", "delete from nowhere")
    before = two_people.thread(2)
    with pytest.raises(StoreError):
        two_people.forget("rose@far.example", by="wyn")
    assert two_people.thread(2) == before
    assert len(ask(path, "select name from sqlite_master where type = 'trigger' and tbl_name = 'history'")) == 2

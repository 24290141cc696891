"""Mail in: each once, in order, whatever the server, the network and other programs do meanwhile."""

from __future__ import annotations

from datetime import datetime
from threading import Thread

import pytest
from letters import letter, many
from shop_mailbox import account_at

from triage.mailbox.incoming import HANDFUL, take_in_folder
from triage.mailbox.secret import password_of
from triage.mailbox.server import Server
from triage.pack import load
from triage.store import FolderMark, Store


@pytest.fixture
def pull(store, small_shop):
    pack = load(small_shop)

    def once(account, folder="INBOX"):
        with Server.connected(account, password_of(account)) as server:
            return take_in_folder(server, folder, store, pack, by="test")

    return once


def ids(store):
    return [message.id for thread in store.each_thread() for message in thread.messages]


def test_each_mail_is_taken_in_once_and_only_news_is_fetched(dovecot, account, store, pull):
    dovecot.deliver(many(3))
    assert pull(account).new == 3
    assert pull(account).total == 0
    dovecot.deliver(many(2, first=3))
    assert pull(account).new == 2
    assert ids(store) == [f"m{n}@mail.example" for n in range(5)]


def test_no_flag_changes_and_nothing_is_marked_as_read(dovecot, account, pull, person):
    dovecot.deliver(many(2))
    pull(account)
    assert person.flags("INBOX") == [(), ()]


def test_a_keyword_is_set_only_where_the_shop_asked_for_it(dovecot, pull, person):
    dovecot.deliver(many(2))
    pull(account_at(dovecot, keyword="TakenIn"))
    assert person.flags("INBOX") == [(b"TakenIn",), (b"TakenIn",)]


def test_the_same_mail_in_two_folders_is_one_message(dovecot, account, store, pull, person):
    person.imap.create_folder("Questions")
    for folder in ("INBOX", "Questions"):
        person.put(folder, letter(1))
    assert pull(account).new == 1
    assert (pull(account, "Questions").duplicate, len(ids(store))) == (1, 1)


def test_a_folder_that_counts_anew_is_read_anew_and_doubles_nothing(dovecot, account, store, pull, person):
    """RFC 3501 2.3.1.1: UIDs say nothing once UIDVALIDITY differs."""
    dovecot.deliver(many(4))
    pull(account)
    before = store.mailboxes.mark("shop", "INBOX")
    dovecot.count_anew()
    dovecot.deliver(many(1, first=4))
    tally = pull(account)
    after = store.mailboxes.mark("shop", "INBOX")
    assert (tally.new, tally.duplicate) == (1, 4)
    assert before.uidvalidity != after.uidvalidity and after.uid_next == 6


def test_a_folder_made_anew_under_its_name_is_read_from_its_beginning(dovecot, account, store, pull, person):
    person.imap.create_folder("Questions")
    for mail in many(3):
        person.put("Questions", mail)
    pull(account, "Questions")
    person.imap.delete_folder("Questions")
    person.imap.create_folder("Questions")
    person.put("Questions", letter(9))
    assert pull(account, "Questions").new == 1


def test_mail_from_before_the_day_the_shop_named_stays_where_it_is(dovecot, store, pull, person):
    """RFC 3501 6.4.4, SINCE: by the day it came in, not by what its header says."""
    person.imap.append("INBOX", letter(1), msg_time=datetime(2026, 10, 1, 12))
    person.imap.append("INBOX", letter(2, subject="Another"), msg_time=datetime(2026, 11, 20, 12))
    pull(account_at(dovecot, since="2026-11-01"))
    assert ids(store) == ["m2@mail.example"]


def test_what_is_no_mail_is_set_aside_and_the_rest_goes_on(dovecot, account, store, pull):
    dovecot.deliver([*many(1), b"no header and no sense\n", *many(1, first=1)])
    tally = pull(account)
    assert (tally.new, tally.rejected) == (2, 1)
    assert "mailbox shop, INBOX, message" in store.rejected()[0].rejected.source


def test_a_message_deleted_by_another_program_meanwhile_is_left_out(dovecot, account, store, pull, person, monkeypatch):
    dovecot.deliver(many(3))
    sizes = Server.sizes

    def deleting(server, uids):
        found = sizes(server, uids)
        person.delete("INBOX", 2)
        return found

    monkeypatch.setattr(Server, "sizes", deleting)
    tally = pull(account)
    assert (tally.new, tally.rejected) == (2, 0)
    assert store.mailboxes.mark("shop", "INBOX").uid_next == 4


def test_two_programs_pull_the_same_folder_at_once(dovecot, account, store, pull, small_shop, clock):
    """The marks of both are true, and each message is there once."""
    dovecot.deliver(many(2 * HANDFUL + 7))
    pack = load(small_shop)

    def other():
        with (
            Store.open(store.path, now=clock, busy_seconds=60) as second,
            Server.connected(account, password_of(account)) as server,
        ):
            take_in_folder(server, "INBOX", second, pack, by="other")

    beside = Thread(target=other)
    beside.start()
    pull(account)
    beside.join()
    assert sorted(ids(store)) == sorted(f"m{n}@mail.example" for n in range(2 * HANDFUL + 7))


def test_two_thousand_messages(dovecot, account, store, pull):
    dovecot.deliver(many(2000))
    assert pull(account).new == 2000
    assert store.mailboxes.mark("shop", "INBOX").uid_next == 2001
    assert len(set(ids(store))) == 2000


def test_a_mail_larger_than_any_sensible_one_is_named_and_not_held(dovecot, account, store, pull, monkeypatch):
    monkeypatch.setattr("triage.mailbox.incoming.LARGEST", 200_000)
    monkeypatch.setattr("triage.mailbox.incoming.HANDFUL_BYTES", 100_000)
    dovecot.deliver([letter(1, "word " * 60_000), *many(1, first=2)])
    tally = pull(account)
    assert (tally.new, tally.rejected) == (1, 1)
    assert len(store.rejected()[0].rejected.raw) == 65_536


def test_the_mark_is_written_with_the_mail_or_not_at_all(dovecot, account, store, pull, monkeypatch):
    """An error between two handfuls leaves the first whole, and its mark; the next run goes on from there."""
    dovecot.deliver(many(HANDFUL + 20))
    mails = Server.mails
    calls = []

    def failing(server, uids):
        calls.append(uids)
        if len(calls) == 2:
            raise OSError("cut")
        return mails(server, uids)

    monkeypatch.setattr(Server, "mails", failing)
    with pytest.raises(OSError, match="cut"):
        pull(account)
    assert len(ids(store)) == HANDFUL
    assert store.mailboxes.mark("shop", "INBOX") == FolderMark(
        store.mailboxes.mark("shop", "INBOX").uidvalidity, HANDFUL + 1
    )
    assert pull(account).new == 20

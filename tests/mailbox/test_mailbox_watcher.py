"""Watching: news without asking, through lost lines and server restarts, until told to stop."""

from __future__ import annotations

import threading
import time
from dataclasses import replace

import pytest
from cut_line import line_to
from letters import as_sent, letter, many
from mail_server import PASSWORD, Dovecot
from shop_mailbox import PASSWORD_ENV, account_at

from triage.mailbox import ExportFolder, MailboxError, to_text
from triage.mailbox.patience import Patience
from triage.mailbox.watcher import Watcher, WatchSettings
from triage.store import Store, ThreadState

QUICK = Patience(first=0.05, longest=0.2, after_refusal=0.2)


def wait_for(condition, seconds=60):
    end = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < end, "waited too long"
        time.sleep(0.05)


@pytest.fixture
def watch(store, demo, tmp_path):
    """Watch mailboxes over the test's store; every watcher is stopped at the end."""
    started = []

    def starting(*places, **how):
        for place in places:
            store.mailboxes.add(place.name, to_text(place), by="test")
        settings = WatchSettings(look_every=0.5, stages=demo, patience=QUICK, **how)
        watcher = Watcher(store.path, tmp_path, settings)
        watcher.start()
        started.append(watcher)
        return watcher

    yield starting
    assert all(watcher.stop() for watcher in started)


def ids(store):
    return sorted(message.id for thread in store.each_thread() for message in thread.messages)


def is_watching(watcher):
    return all(status.how == "watching" for status in watcher.status())


def test_what_comes_in_is_there_within_seconds_and_its_draft_too(dovecot, account, store, watch, person):
    watcher = watch(account)
    wait_for(lambda: is_watching(watcher))
    person.put("INBOX", letter(1))
    wait_for(lambda: len(person.mails("Drafts")) == 1)
    assert store.thread(1).state is ThreadState.READY
    (status,) = watcher.status()
    assert (status.name, status.problem, status.taken_in) == ("shop", "", 1)


def test_a_draft_sent_from_a_mail_program_is_seen_without_news_in_the_inbox(dovecot, account, store, watch, person):
    dovecot.deliver([letter(1)])
    watch(account)
    wait_for(lambda: len(person.mails("Drafts")) == 1)
    person.put("Sent", as_sent(*person.mails("Drafts").values()))
    wait_for(lambda: store.thread(1).replies != ())


def test_a_draft_changed_by_hand_at_the_desk_is_laid_without_news_from_the_server(
    dovecot, account, store, watch, person
):
    dovecot.deliver([letter(1)])
    watch(account)
    wait_for(lambda: len(person.mails("Drafts")) == 1)
    draft = store.thread(1).drafts[-1].draft
    store.save_draft(1, replace(draft, subject="Re: another subject"), by="wyn")
    wait_for(lambda: b"another subject" in b"".join(person.mails("Drafts").values()))
    wait_for(lambda: len(person.mails("Drafts")) == 1)


def test_a_line_lost_while_waiting_is_made_anew(dovecot, account, store, watch):
    with line_to(dovecot.port) as line:
        watcher = watch(replace(account, port=line.port))
        wait_for(lambda: is_watching(watcher))
        made = line.made
        line.cut()
        dovecot.deliver(many(1))
        wait_for(lambda: ids(store) == ["m0@mail.example"])
        assert line.made > made


def test_a_server_restarted_while_waiting_is_found_again(dovecot, account, store, watch):
    watcher = watch(account)
    wait_for(lambda: is_watching(watcher))
    dovecot.stop()
    wait_for(lambda: "Nothing is lost" in watcher.status()[0].problem)
    dovecot.deliver(many(2))
    dovecot.start()
    wait_for(lambda: ids(store) == ["m0@mail.example", "m1@mail.example"])
    wait_for(lambda: watcher.status()[0].problem == "")


def test_a_wrong_password_is_shown_and_works_once_it_is_put_right(dovecot, account, watch, monkeypatch):
    right = "sprocket and chain"
    monkeypatch.setenv(PASSWORD_ENV, "wrong")
    watcher = watch(account)
    wait_for(lambda: "name or password is not right" in watcher.status()[0].problem)
    monkeypatch.setenv(PASSWORD_ENV, right)
    wait_for(lambda: is_watching(watcher))


def test_it_stops_within_moments_and_can_be_started_again(dovecot, account, store, watch):
    first = watch(account)
    wait_for(lambda: is_watching(first))
    began = time.monotonic()
    assert first.stop()
    assert time.monotonic() - began < 10
    assert [status.how for status in first.status()] == ["stopped"]
    dovecot.deliver(many(1))
    watch(account)
    wait_for(lambda: ids(store) == ["m0@mail.example"])


def test_it_stops_in_the_middle_of_a_large_folder_and_the_next_goes_on(dovecot, account, store, watch):
    dovecot.deliver(many(1500))
    first = watch(account)
    wait_for(lambda: len(ids(store)) >= 100)
    assert first.stop()
    assert 100 <= len(ids(store)) < 1500


def test_a_server_that_tells_no_news_by_itself_is_asked(server_root, store, watch, monkeypatch):
    server = Dovecot(server_root / "silent", capability="IMAP4rev1 LITERAL+ NAMESPACE UIDPLUS AUTH=PLAIN")
    server.start()
    try:
        monkeypatch.setenv(PASSWORD_ENV, PASSWORD)
        watcher = watch(account_at(server))
        wait_for(lambda: is_watching(watcher))
        server.deliver(many(1))
        wait_for(lambda: ids(store) == ["m0@mail.example"])
        assert watcher.stop()
    finally:
        server.clear()


def test_a_folder_of_exports_is_watched_beside_the_mailbox(dovecot, account, store, watch, tmp_path):
    exports = tmp_path / "exports"
    exports.mkdir()
    watch(account, ExportFolder("form", str(exports)))
    (exports / "form.csv").write_text("name,email,text\nOdd Marl,odd@post.example,My cart is slow uphill.\n")
    wait_for(lambda: len(ids(store)) == 1)


def test_nothing_to_watch_is_said(watch):
    with pytest.raises(MailboxError, match="triage mailbox add"):
        watch()


def test_the_workbench_may_use_the_store_meanwhile(dovecot, account, store, watch, clock):
    """Another writer at the same time: both get their turn."""
    dovecot.deliver(many(40))
    watch(account)
    errors = []

    def writing():
        try:
            with Store.open(store.path, now=clock, busy_seconds=30) as other:
                for number in range(60):
                    other.set_setting("beside", str(number), by="wyn")
        except Exception as error:
            errors.append(error)

    beside = threading.Thread(target=writing)
    beside.start()
    beside.join(60)
    wait_for(lambda: len(ids(store)) == 40)
    assert errors == []

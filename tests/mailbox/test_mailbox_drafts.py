"""Drafts: one for each ready thread, replaced and not doubled, never over a person's hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from letters import CLICKS, SHOP, as_sent, letter, parsed
from mail_server import Dovecot
from shop_mailbox import PASSWORD_ENV, Program, account_at

from triage.desk import take_in
from triage.intake import from_text
from triage.mailbox.drafts import THEIRS, Drafts
from triage.mailbox.round import BY, full_round
from triage.mailbox.secret import password_of
from triage.mailbox.server import Server
from triage.model import Sentence
from triage.store import Store, ThreadState, What


def only(mails):
    (mail,) = mails.values()
    return parsed(mail)


def changed_draft(store, text="And please tell us the year."):
    """Another version of the draft, as the workbench saves it."""
    thread = store.thread(1)
    draft = thread.drafts[-1].draft
    more = Sentence(text, "person:wyn", draft.sentences[-1].paragraph)
    store.save_draft(1, replace(draft, sentences=(*draft.sentences, more)), by="wyn")


def test_a_ready_reply_lies_in_the_drafts_folder_with_the_right_threading_headers(one_ready, person, store):
    """RFC 5322 3.6.4; RFC 3501 2.3.2 for the flags."""
    draft = only(person.mails("Drafts"))
    assert one_ready.drafts.laid == 1
    assert person.flags("Drafts") == [(b"\\Draft", b"\\Seen")]
    assert (draft["To"], draft["Subject"]) == ("Ida Fen <ida@mail.example>", "Re: Cart clicks")
    assert (draft["In-Reply-To"], draft["References"]) == ("<m1@mail.example>", "<m1@mail.example>")
    assert draft["X-Unsent"] is None
    assert draft.get_content().strip().replace("\r\n", "\n") == store.thread(1).drafts[-1].draft.body


def test_a_second_round_changes_nothing(one_ready, account, person, round_of):
    before = person.mails("Drafts")
    assert round_of(account).is_quiet
    assert person.mails("Drafts") == before


def test_a_changed_draft_takes_the_place_of_the_old_one(one_ready, account, person, store, round_of):
    changed_draft(store)
    done = round_of(account)
    assert (done.drafts.laid, done.drafts.removed) == (1, 1)
    assert "tell us the year" in only(person.mails("Drafts")).get_content()


def test_a_draft_saved_again_with_the_same_words_stays_where_it_is(one_ready, account, person, store, round_of):
    before = person.mails("Drafts")
    store.save_draft(1, store.thread(1).drafts[-1].draft, by="wyn")
    round_of(account)
    assert person.mails("Drafts") == before


def test_a_draft_goes_when_the_asker_was_told_by_phone_and_comes_back_when_that_is_taken_back(
    one_ready, account, person, store, round_of
):
    store.record_reply(1, "told him to wait", by="wyn", how="phone")
    assert round_of(account).drafts.removed == 1
    assert person.mails("Drafts") == {}
    store.undo(1, by="wyn")
    assert round_of(account).drafts.laid == 1


def test_a_draft_that_a_person_threw_away_does_not_come_back(one_ready, account, person, round_of):
    person.delete("Drafts")
    assert round_of(account).is_quiet
    assert person.mails("Drafts") == {}


def test_a_draft_thrown_away_is_laid_anew_once_it_says_something_else(one_ready, account, person, store, round_of):
    person.delete("Drafts")
    changed_draft(store)
    assert round_of(account).drafts.laid == 1


@pytest.mark.parametrize("mark_kept", [True, False], ids=["mark-kept", "mark-dropped"])
def test_a_draft_a_person_edited_is_never_touched(one_ready, account, person, store, round_of, mark_kept):
    """A mail program saves an edited draft as a new mail and deletes the old; some drop headers they do not know."""
    (uid, mail), *_ = person.mails("Drafts").items()
    theirs = as_sent(mail, words="Dear Ida, come by on Friday.", keep=("X-Cart-Triage",) if mark_kept else ())
    person.put("Drafts", theirs, b"\\Draft")
    person.delete("Drafts", uid)
    changed_draft(store)
    done = round_of(account)
    assert (done.drafts.laid, done.drafts.removed) == (0, 0)
    assert only(person.mails("Drafts")).get_content().strip() == "Dear Ida, come by on Friday."
    round_of(account)
    notes = [entry for entry in store.history(1) if entry.what is What.NOTE]
    assert [note.after["text"] for note in notes] == ([THEIRS] if mark_kept else [])


def test_a_draft_only_opened_and_saved_by_a_mail_program_is_still_ours(one_ready, account, person, store, round_of):
    """New Message-ID, date and encoding, other line breaks; the same words."""
    (uid, mail), *_ = person.mails("Drafts").items()
    saved = parsed(as_sent(mail, keep=("X-Cart-Triage",)))
    saved.set_content(" \n".join(saved.get_content().split("\n")), cte="base64")
    person.put("Drafts", saved.as_bytes(), b"\\Draft")
    person.delete("Drafts", uid)
    changed_draft(store)
    round_of(account)
    assert "tell us the year" in only(person.mails("Drafts")).get_content()


def test_an_addressee_added_by_a_person_counts_as_edited(one_ready, account, person, store, round_of):
    (uid, mail), *_ = person.mails("Drafts").items()
    saved = parsed(as_sent(mail, keep=("X-Cart-Triage", "Message-ID")))
    saved["Cc"] = "Odd Marl <odd@post.example>"
    person.put("Drafts", saved.as_bytes(), b"\\Draft")
    person.delete("Drafts", uid)
    changed_draft(store)
    assert round_of(account).drafts.left == 1
    assert only(person.mails("Drafts"))["Cc"] == "Odd Marl <odd@post.example>"


def test_where_a_person_writes_a_reply_of_their_own_no_draft_is_put_beside_it(dovecot, account, person, round_of):
    dovecot.deliver([letter(1)])
    person.put("Drafts", letter(50, "Dear Ida,", sender=SHOP, to="ida@mail.example", answers=("m1@mail.example",)))
    assert round_of(account).drafts.laid == 0
    assert len(person.mails("Drafts")) == 1


def test_two_of_ours_left_by_a_stop_between_laying_and_taking_out_become_the_newer_one(
    one_ready, account, person, store, round_of, monkeypatch
):
    changed_draft(store)
    monkeypatch.setattr(Server, "remove", lambda server, uids: None)
    round_of(account)
    assert len(person.mails("Drafts")) == 2
    monkeypatch.undo()
    monkeypatch.setenv(account.password_env, "sprocket and chain")
    round_of(account)
    assert "tell us the year" in only(person.mails("Drafts")).get_content()


def test_a_draft_laid_by_a_run_that_stopped_before_it_could_write_it_down_is_found_by_its_mark(
    one_ready, account, person, store, round_of
):
    store.mailboxes.take_up("shop", 1, by="test")
    done = round_of(account)
    assert (done.drafts.laid, len(person.mails("Drafts"))) == (0, 1)
    assert store.mailboxes.laid("shop")[1].digest in only(person.mails("Drafts"))["X-Cart-Triage"]


def test_other_drafts_of_the_shop_are_left_alone(one_ready, account, person, store, round_of):
    person.put("Drafts", letter(60, "to the tyre dealer", sender=SHOP, to="dealer@post.example"), b"\\Draft")
    person.imap.select_folder("Drafts")
    person.put("Drafts", letter(61, "waste", sender=SHOP), b"\\Draft", b"\\Deleted")
    changed_draft(store)
    round_of(account)
    subjects = [parsed(mail)["To"] for mail in person.mails("Drafts").values()]
    assert subjects == ["dealer@post.example", SHOP, "Ida Fen <ida@mail.example>"]


def test_drafts_of_another_store_on_the_same_mailbox_are_left_alone(
    one_ready, account, person, tmp_path, reading, clock
):
    with (
        Store.open(tmp_path / "second.db", now=clock) as second,
        Server.connected(account, password_of(account)) as server,
    ):
        Drafts(second, reading.stages.pack.shop, clock, by=BY).settle(server)
    assert len(person.mails("Drafts")) == 1


def test_a_server_without_uidplus_loses_no_mail_of_others(server_root, person, monkeypatch, store, reading, clock):
    """RFC 4315: a plain EXPUNGE takes everything that anybody has marked as deleted."""
    old = Dovecot(server_root / "old", capability="IMAP4rev1 IDLE LITERAL+ SPECIAL-USE NAMESPACE")
    old.start()
    try:
        monkeypatch.setenv(PASSWORD_ENV, "sprocket and chain")
        account, other = account_at(old), Program(old)
        old.deliver([letter(1)])
        drafts = Drafts(store, reading.stages.pack.shop, clock, by=BY)
        with Server.connected(account, password_of(account)) as server:
            assert not server.can("UIDPLUS")
            full_round(server, store, reading, drafts, clock())
            other.put("Drafts", letter(70, "marked, not gone", sender=SHOP), b"\\Draft", b"\\Deleted")
            changed_draft(store)
            full_round(server, store, reading, drafts, clock())
            assert full_round(server, store, reading, drafts, clock()).is_quiet
        words = [parsed(mail).get_content() for mail in other.mails("Drafts").values()]
        assert any("marked, not gone" in word for word in words)
        other.imap.shutdown()
    finally:
        old.clear()


def test_an_asker_without_a_mail_address_gets_no_draft_in_the_mailbox(account, person, store, reading, round_of):
    take_in([from_text(CLICKS, sender="Ida Fen")], store, reading.stages.pack)
    round_of(account)
    assert store.thread(1).state is ThreadState.READY
    assert person.mails("Drafts") == {}


def test_the_draft_to_a_person_who_was_forgotten_goes_with_them(one_ready, account, person, store, round_of):
    store.forget("ida@mail.example", by="wyn")
    assert round_of(account).drafts.removed == 1
    assert person.mails("Drafts") == {}


def test_after_a_person_sent_a_draft_of_theirs_the_next_question_gets_one_of_ours(
    one_ready, dovecot, account, person, store, round_of
):
    ((uid, mail),) = person.mails("Drafts").items()
    theirs = as_sent(mail, words="Dear Ida, come by on Friday.", keep=("X-Cart-Triage",))
    person.put("Drafts", theirs, b"\\Draft")
    person.delete("Drafts", uid)
    changed_draft(store)
    assert round_of(account).drafts.left == 1
    person.put("Sent", theirs)
    person.delete("Drafts")
    dovecot.deliver([letter(2, "It still clicks.", answers=("sent-1@harrowlane.example",), day=26)])
    assert round_of(account).drafts.laid == 1
    assert only(person.mails("Drafts"))["In-Reply-To"] == "<m2@mail.example>"


def test_a_draft_sent_while_the_folder_is_looked_at_is_not_taken_for_edited(
    one_ready, account, person, store, round_of, monkeypatch
):
    changed_draft(store)
    headers = Server.headers

    def sending(server, uids, names):
        found = headers(server, uids, names)
        person.delete("Drafts")
        return found

    monkeypatch.setattr(Server, "headers", sending)
    round_of(account)
    assert [entry for entry in store.history(1) if entry.what is What.NOTE] == []

"""What was really sent: recognised however the mail program sends a draft, kept beside it, once."""

from __future__ import annotations

import pytest
from letters import SHOP, as_sent, letter

from triage.store import ThreadState

SENT_WAYS = {
    "as it lay": ("X-Cart-Triage", "Message-ID"),
    "new Message-ID": ("X-Cart-Triage",),
    "mark dropped": ("Message-ID",),
    "both dropped": (),
}


@pytest.fixture
def send(person):
    """A person sends the draft from their mail program: into Sent, and out of Drafts."""

    def sending(**how):
        ((uid, mail),) = person.mails("Drafts").items()
        person.put("Sent", as_sent(mail, **how), b"\\Seen")
        person.delete("Drafts", uid)

    return sending


@pytest.mark.parametrize("keep", SENT_WAYS.values(), ids=SENT_WAYS.keys())
def test_a_sent_draft_makes_its_thread_answered(one_ready, account, store, round_of, send, person, keep):
    send(keep=keep)
    done = round_of(account)
    thread = store.thread(1)
    assert done.sent == (1,)
    assert thread.state in (ThreadState.REPLIED, ThreadState.WAITING_FOR_ASKER)
    assert [(reply.how, reply.draft, reply.changed) for reply in thread.replies] == [("mail", 1, "")]
    assert round_of(account).is_quiet and person.mails("Drafts") == {}


def test_what_a_person_changed_before_sending_is_kept_beside_the_draft(one_ready, account, store, round_of, send):
    draft = store.thread(1).drafts[-1].draft.body
    send(words=draft.replace("Kind regards,", "Come by on Friday if you like.\n\nKind regards,"))
    round_of(account)
    (reply,) = store.thread(1).replies
    assert "+Come by on Friday if you like." in reply.changed and reply.draft == 1


def test_the_asker_s_mail_quoted_below_is_no_part_of_what_was_sent(one_ready, account, store, round_of, send):
    draft = store.thread(1).drafts[-1].draft.body
    send(words=f"{draft}\n\nOn 24 Nov 2026, Ida Fen wrote:\n> my 2012 Lark only clicks\n")
    round_of(account)
    assert "only clicks" not in store.thread(1).replies[0].text.replace(draft, "")


def test_a_reply_written_without_our_draft_is_recognised_by_what_it_answers(dovecot, account, store, round_of, person):
    dovecot.deliver([letter(1)])
    own = letter(80, "Come by on Friday.", sender=SHOP, to="ida@mail.example", answers=("m1@mail.example",), day=25)
    person.put("Sent", own)
    round_of(account)
    assert store.thread(1).state is ThreadState.REPLIED
    assert person.mails("Drafts") == {}


def test_an_answer_to_what_was_sent_finds_its_thread(one_ready, dovecot, account, store, round_of, send):
    send()
    round_of(account)
    dovecot.deliver([letter(2, "It is a 48 volt one.", answers=("sent-1@harrowlane.example",), day=26)])
    round_of(account)
    assert [m.id for m in store.thread(1).messages] == ["m1@mail.example", "m2@mail.example"]


def test_a_reply_older_than_the_asker_s_last_word_does_not_close_the_thread(dovecot, account, store, round_of, person):
    """The first pull finds a whole conversation at once: question, reply, and a question after it."""
    person.put("Sent", letter(80, "Come by.", sender=SHOP, to="ida@mail.example", answers=("m1@mail.example",), hour=9))
    dovecot.deliver([letter(1), letter(2, "It still only clicks.", answers=("m80@mail.example",), hour=11)])
    round_of(account)
    thread = store.thread(1)
    assert len(thread.messages) == 2 and len(thread.replies) == 1
    assert thread.state is ThreadState.READY
    assert thread.replies[0].at.hour == 9


@pytest.mark.parametrize(
    ("to", "why"),
    [("dealer@post.example", "forwarded to a supplier"), (SHOP, "forwarded to a colleague")],
)
def test_a_mail_to_somebody_else_is_no_reply(one_ready, account, store, round_of, person, to, why):
    person.put("Sent", letter(80, "Have you got this part?", sender=SHOP, to=to, answers=("m1@mail.example",), day=25))
    assert round_of(account).sent == ()
    assert store.thread(1).state is ThreadState.READY


def test_mail_of_the_shop_s_own_is_not_taken_in(one_ready, account, store, round_of, person):
    person.put("Sent", letter(81, "Please send six tyres.", sender=SHOP, to="dealer@post.example", day=25))
    round_of(account)
    assert len(list(store.each_thread())) == 1


def test_a_reply_recorded_by_hand_is_not_recorded_again(one_ready, account, store, round_of, send):
    store.record_reply(1, store.thread(1).drafts[-1].draft.body, by="wyn")
    send()
    round_of(account)
    assert len(store.thread(1).replies) == 1


def test_a_sent_folder_that_counts_anew_records_nothing_twice(one_ready, dovecot, account, store, round_of, send):
    send()
    round_of(account)
    dovecot.count_anew("Sent")
    round_of(account)
    assert len(store.thread(1).replies) == 1


def test_a_mail_sent_after_the_thread_was_closed_leaves_it_closed_and_is_noted(
    one_ready,
    account,
    store,
    round_of,
    send,
    dovecot,
):
    store.settle(1, by="wyn", outcome="came by")
    send()
    round_of(account)
    dovecot.count_anew("Sent")
    round_of(account)
    thread = store.thread(1)
    notes = [entry for entry in store.history(1) if "sent after this was closed" in str(entry.after.get("text"))]
    assert (thread.state, len(notes)) == (ThreadState.SETTLED, 1)

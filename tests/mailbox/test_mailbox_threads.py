"""RFC 5256 section 3: our threads against the server's own THREAD=REFERENCES."""

from __future__ import annotations

import mailbox
from pathlib import Path

import pytest
from letters import letter

from triage.intake import parse_message, thread_messages

CORPUS = Path(__file__).parents[2] / "corpus_demo" / "inbox.mbox"


def server_threads(person):
    """Sets of Message-IDs that the server puts into one thread."""
    person.imap.select_folder("INBOX", readonly=True)
    found = person.imap.fetch(person.imap.search(), ["BODY.PEEK[HEADER.FIELDS (MESSAGE-ID)]"])
    ids = {uid: str(parse_message(b"From: a@b.example\n" + _header(told)).id) for uid, told in found.items()}
    return {frozenset(ids[uid] for uid in _numbers(thread)) for thread in person.imap.thread("REFERENCES")}


def _header(told):
    return next(text for item, text in told.items() if item.startswith(b"BODY[HEADER"))


def _numbers(thread):
    for part in thread:
        if isinstance(part, tuple):
            yield from _numbers(part)
        else:
            yield part


def ours(mails):
    return {frozenset(thread) for thread in thread_messages([parse_message(mail) for mail in mails])}


def chain(*links, subject="Cart"):
    """Mails by number, each with the numbers it refers to."""
    return [
        letter(n, f"text {n}", subject=subject if not refs else f"Re: {subject}",
               answers=tuple(f"m{ref}@mail.example" for ref in refs), hour=n)
        for n, refs in links
    ]  # fmt: skip


EXAMPLES = {
    # RFC 5256 section 4 and its REFERENCES algorithm, step by step
    "a chain in order": chain((1, ()), (2, (1,)), (3, (1, 2))),
    "two answers to one": chain((1, ()), (2, (1,)), (3, (1,))),
    "an answer before its parent": chain((3, (1, 2)), (1, ()), (2, (1,))),
    "the parent never came": chain((2, (1,)), (3, (1,))),
    "the middle never came": chain((1, ()), (3, (1, 2))),
    "two conversations": [*chain((1, ()), (2, (1,))), *chain((5, ()), (6, (5,)), subject="Tyres")],
    "a loop of references": chain((1, (2,)), (2, (1,))),
    "a reference to itself": chain((1, (1,))),
}


@pytest.mark.parametrize("mails", EXAMPLES.values(), ids=EXAMPLES.keys())
def test_our_threads_are_the_servers(dovecot, person, mails):
    dovecot.deliver(mails)
    assert ours(mails) == server_threads(person)


def test_our_threads_of_the_demo_mailbox_are_the_servers_but_for_subjects_alone(dovecot, person):
    """Step 5 of the RFC joins by base subject alone; we join only where the same people write, so we split more."""
    box = mailbox.mbox(CORPUS)
    mails = [bytes(box.get_bytes(key)) for key in box.iterkeys()]
    box.close()
    dovecot.deliver(mails)
    mine = ours([m for m in mails if _has_id(m)])
    theirs = server_threads(person)
    finer = [thread for thread in mine if not any(thread <= other for other in theirs)]
    assert len(mails) > 50
    assert finer == []
    assert len(mine & theirs) >= 0.9 * len(mine)


def _has_id(mail):
    return b"message-id:" in mail.split(b"\n\n", 1)[0].lower()

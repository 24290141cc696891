"""What a person really sent: found in the sent folder, kept beside the draft it was made from."""

from __future__ import annotations

import re
from collections.abc import Sequence
from email.parser import BytesParser

from triage.desk import asks_back
from triage.intake.headers import POLICY
from triage.intake.mime import content
from triage.mailbox.draft_mail import MARK, mark_in, own_id
from triage.mailbox.incoming import news
from triage.mailbox.server import Server
from triage.model import Message, Rejected
from triage.store import MoveRefused, NotFound, Store, Thread

_SENT_AFTER = "A mail was sent after this was closed; its words: "
_MARK = re.compile(rf"^{MARK}:[ \t]*([^\r\n]*)", re.IGNORECASE | re.MULTILINE)


def record_sent(server: Server, store: Store, token: str, *, by: str) -> tuple[int, ...]:
    """Record what was sent since the last look as replies; the threads answered.

    A reply and how far the folder was read are written together. Mail of the shop's own, to nobody who asked, is
    left alone.
    """
    folder, answered = server.account.sent, list[int]()
    for fetched in news(server, folder, store) if folder else ():
        mails = [item for item in fetched.arrived if not isinstance(item, Rejected)]
        with store.batch(10 * len(mails) + 10):
            answered += [thread for mail in mails if (thread := _record(mail, store, token, by)) is not None]
            store.mailboxes.set_mark(server.account.name, folder, fetched.mark, by=by)
    return tuple(dict.fromkeys(answered))


def _record(mail: Message, store: Store, token: str, by: str) -> int | None:
    thread = _thread_of(mail, store, token)
    if mail.automatic or thread is None or not _goes_to_asker(mail, thread):
        return None
    words = own_words(mail)
    if not words or _is_known(mail, words, thread):
        return None
    try:
        store.record_reply(
            thread.id, words, by=by, subject=mail.subject, message_id=mail.id, asks=asks_back(thread, words),
            sent=mail.sent,
        )  # fmt: skip
    except MoveRefused:
        _note_once(store, thread, _SENT_AFTER + words, by)
    return thread.id


def _note_once(store: Store, thread: Thread, text: str, by: str) -> None:
    if all(entry.after.get("text") != text for entry in store.history(thread.id)):
        store.note(thread.id, text, by=by)


def own_words(mail: Message) -> str:
    """What we wrote, with our sign-off; the asker's mail quoted below it is no part of the reply."""
    whole = content(BytesParser(policy=POLICY).parsebytes(mail.raw)).body.replace("\r\n", "\n").strip()
    if not (mail.quoted or mail.forwarded):
        return whole
    close = f"{mail.text}\n{mail.signature}"
    return close.strip() if close in whole else f"{mail.text}\n\n{mail.signature}".strip()


def _thread_of(mail: Message, store: Store, token: str) -> Thread | None:
    """By our mark, by the Message-ID we gave the draft, or by the mails it answers."""
    mark = _MARK.search(mail.raw.split(b"\r\n\r\n", 1)[0].decode("ascii", "replace"))
    marked = mark_in(mark[1], token) if mark else None
    number = marked.thread if marked else own_id(mail.id, token)
    if number is None:
        number = store.mailboxes.thread_of((*mail.in_reply_to, *reversed(mail.references)))
    try:
        return None if number is None else store.thread(number)
    except NotFound:
        return None


def _goes_to_asker(mail: Message, thread: Thread) -> bool:
    """A mail forwarded to a colleague or a supplier carries the same references, and is no reply."""
    askers = {address.email for m in thread.messages for address in (m.sender, m.reply_to) if address and address.email}
    return any(address.email in askers for address in mail.to)


def _is_known(mail: Message, words: str, thread: Thread) -> bool:
    """Recorded already: by its Message-ID, or by hand with the same words and no id."""
    said = _plain(words)
    by_hand: Sequence[str] = [_plain(r.text) for r in thread.replies if not r.message_id and r.how == "mail"]
    return any(reply.message_id == mail.id for reply in thread.replies) or said in by_hand


def _plain(text: str) -> str:
    return " ".join(text.split())

"""One mail, or one typed note, to a Message."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime
from email.message import Message as Mail
from email.parser import BytesParser

from triage.intake.automatic import automatic_reason
from triage.intake.clean import Cleaned, clean, lift_copy, tidy
from triage.intake.decode import mend
from triage.intake.errors import MalformedMessage
from triage.intake.headers import POLICY, Headers, addresses
from triage.intake.identity import content_id
from triage.intake.mime import Content, content
from triage.intake.subjects import is_reply_or_forward
from triage.model import Address, Message

SUBJECT_ONLY = "its subject is read as the question"
LARGEST = 64 * 1024 * 1024  # bytes of one mail; photographs of a whole afternoon fit
_HEADER_END = re.compile(rb"\r?\n\r?\n")
_FROM_LINE = re.compile(rb"\A(?:\s*\n)*From (?!\s*:)[^\n]*\n")
# RFC 5322 section 4.5: old mail may have white space before the colon, which the parser takes for text.
_SPACED_NAME = re.compile(rb"(?m)^([!-9;-~]+)[ \t]+:")
_TELLING = ("from", "sender", "reply-to", "subject", "date", "message-id", "to", "received")
_QUOTING_CHANNELS = frozenset({"mail", "form"})


def parse_message(raw: bytes) -> Message:
    """Read one mail (RFC 5322, MIME) into a Message with its own words set apart from the rest.

    Raises MalformedMessage, saying why, for what is empty, larger than 64 MiB or no mail at all.
    """
    _check_size(raw)
    try:
        return _message(raw)
    except MalformedMessage:
        raise
    except Exception as error:  # the standard library raises what it likes on hostile input
        raise MalformedMessage(f"cannot be taken apart as mail ({type(error).__name__}: {error})") from error


def _check_size(raw: bytes) -> None:
    if not raw.strip():
        raise MalformedMessage("is empty: no header and no text")
    if len(raw) > LARGEST:
        raise MalformedMessage(too_large(len(raw)))


def too_large(size: int) -> str:
    """The reason given for a mail above the bound."""
    bound = f"more than the {LARGEST // 1024**2} MiB one mail may have"
    return f"has {size / 1e6:.0f} MB, {bound}; its end was left unread"


def _message(raw: bytes) -> Message:
    mail: Mail = BytesParser(policy=POLICY).parsebytes(_prepared(raw))
    headers = Headers.of(mail)
    if not any(headers.raw(name).strip() for name in _TELLING):
        raise MalformedMessage("has no mail header (no From, To, Subject, Date or Message-ID)")
    found = content(mail)
    sender = _sender(headers)
    cleaned = _cleaned(found, headers.text("subject"), sender.name)
    message = _assembled(headers, found, cleaned, sender)
    return _named(_asking(replace(message, raw=raw)), headers.message_id())


def _prepared(raw: bytes) -> bytes:
    """`raw` without a mailbox's "From " line and without white space before the colons of its header."""
    raw = _FROM_LINE.sub(b"", raw, count=1) if raw.lstrip()[:5] == b"From " else raw.lstrip(b"\r\n")
    end = _HEADER_END.search(raw)
    head = raw[: end.start()] if end else raw
    return _SPACED_NAME.sub(rb"\1:", head) + raw[len(head) :] if _SPACED_NAME.search(head) else raw


def _cleaned(found: Content, subject: str, writer: str) -> Cleaned:
    """The body taken apart; mails attached whole join the forwarded block."""
    cleaned = clean(found.body, subject, writer)
    blocks = "\n\n".join(filter(None, (cleaned.forwarded, *found.forwarded)))
    return lift_copy(replace(cleaned, forwarded=blocks)) if found.forwarded else cleaned


def _sender(headers: Headers) -> Address:
    """The first address of From, else of Sender or Reply-To; a From without one gives its name."""
    found = (a for n in ("from", "sender", "reply-to") for a in headers.addresses(n))
    return next(found, Address("", headers.text("from")))


def _assembled(headers: Headers, found: Content, cleaned: Cleaned, sender: Address) -> Message:
    reply_to = next((a for a in headers.addresses("reply-to") if a.email != sender.email), None)
    message = Message(
        id="",
        channel="mail",
        sender=sender,
        subject=headers.text("subject"),
        sent=headers.sent(),
        text=cleaned.text,
        quoted=cleaned.quoted,
        forwarded=cleaned.forwarded,
        signature=cleaned.signature,
        in_reply_to=headers.ids("in-reply-to"),
        references=headers.ids("references"),
        to=headers.addresses("to") + headers.addresses("cc"),
        reply_to=reply_to,
        automatic=automatic_reason(headers.flat()),
        attachments=found.attachments,
    )
    empty = () if found.body or found.forwarded else ("the mail has no text",)
    notes = (*found.notes, *headers.notes, *cleaned.notes, *empty)
    return replace(message, notes=tuple(dict.fromkeys(notes)))


def _asking(message: Message) -> Message:
    """A person's mail that has nothing but a subject asks in its subject."""
    said = (message.text, message.quoted, message.forwarded, message.automatic)
    if any(said) or not message.subject or is_reply_or_forward(message.subject):
        return message
    return replace(message, text=message.subject, notes=(*message.notes, SUBJECT_ONLY))


def _named(message: Message, message_id: str) -> Message:
    return replace(message, id=message_id or content_id(message))


def from_text(
    text: str,
    *,
    sender: str = "",
    subject: str = "",
    sent: datetime | None = None,
    channel: str = "phone",
) -> Message:
    """A typed or pasted note as a Message; its id is the hash of its content.

    `sender` is a name, an address or "Name <address>". History and signatures are looked for only in
    what is pasted from mail or a web form: nobody quotes on the phone.
    """
    body, notes = mend(text)
    cleaned = clean(body, subject, sender) if channel in _QUOTING_CHANNELS else Cleaned(text=tidy(body).strip())
    found = addresses(sender) if "@" in sender else ()
    message = Message(
        id="",
        channel=channel,
        sender=found[0] if found else Address("", sender.strip()),
        subject=" ".join(subject.split()),
        sent=sent,
        text=cleaned.text,
        quoted=cleaned.quoted,
        forwarded=cleaned.forwarded,
        signature=cleaned.signature,
        notes=notes + cleaned.notes,
    )
    return _named(message, "")

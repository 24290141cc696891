"""A draft as it lies in the drafts folder: how it is marked as ours, and how a person's hand in it shows."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from email.message import EmailMessage
from email.parser import BytesParser
from email.policy import SMTP, default
from email.utils import getaddresses

from triage.model import Draft, Message
from triage.pack.schema import Shop
from triage.reply.outgoing import to_eml

MARK = "X-Cart-Triage"  # "TOKEN THREAD DIGEST": of which store, for which thread, and what its words were
_MARK = re.compile(r"(?P<token>[0-9a-f]{12}) (?P<thread>\d+) (?P<digest>[0-9a-f]{16})\Z")
_ADDRESSED = ("to", "cc", "bcc")


@dataclass(frozen=True, slots=True)
class Marked:
    """What the mark on a draft says."""

    thread: int
    digest: str


def draft_mail(
    draft: Draft, answered: Message, shop: Shop, thread: int, token: str, now: datetime
) -> tuple[str, bytes]:
    """The draft as a mail with our mark, and the digest of its words; ValueError when there is nobody to write to."""
    made = to_eml(draft, answered, shop, now=now, message_id=f"draft@{token}.example")
    mail: EmailMessage = BytesParser(EmailMessage, policy=SMTP.clone(max_line_length=78)).parsebytes(made)
    digest = words_digest(made)
    del mail["X-Unsent"]  # for files that are opened, not for folders
    mail.replace_header("Message-ID", f"<{digest}.{thread}.{token}@{shop.mail.rpartition('@')[2]}>")
    mail[MARK] = f"{token} {thread} {digest}"
    return digest, mail.as_bytes()


def mark_in(value: str, token: str) -> Marked | None:
    """What a mark says; None where it is not one of this store."""
    found = _MARK.match(" ".join(value.split()))
    return Marked(int(found["thread"]), found["digest"]) if found and found["token"] == token else None


def own_id(message_id: str, token: str) -> int | None:
    """The thread of a Message-ID that we gave to a draft; None for any other."""
    found = re.match(rf"[0-9a-f]{{16}}\.(\d+)\.{token}@", message_id)
    return int(found[1]) if found else None


def words_digest(raw: bytes) -> str:
    """SHA-256 (16 hex digits) of what a person can change in a mail: addressees, subject, words, attachments.

    Not of its encoding, line breaks, date or Message-ID, which a mail program changes by opening and saving it.
    """
    mail: EmailMessage = BytesParser(EmailMessage, policy=default).parsebytes(raw)
    canonical = "\x1f".join(" ".join(part.split()) for part in _said(mail))
    return hashlib.sha256(canonical.encode("utf-8", "replace")).hexdigest()[:16]


def _said(mail: EmailMessage) -> Iterator[str]:
    for name in _ADDRESSED:
        yield " ".join(sorted(email.lower() for _, email in getaddresses([str(v) for v in mail.get_all(name, [])])))
    yield str(mail.get("Subject", ""))
    yield str(mail.get("In-Reply-To", ""))
    body = mail.get_body(("plain", "html"))
    yield str(body.get_content()) if body else ""
    yield str(sum(1 for _ in mail.iter_attachments()))


def was_edited(raw: bytes, digest: str) -> bool:
    """True when the mail no longer says what it said when we laid it; what cannot be read counts as edited."""
    try:
        return words_digest(raw) != digest
    except Exception:  # the standard library raises what it likes on odd mail; a person's work must not be lost to it
        return True

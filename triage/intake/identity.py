"""Which message is which: ids, and a fingerprint of the content where ids are missing or shared."""

from __future__ import annotations

import hashlib
from datetime import UTC

from triage.model import Message


def content_hash(message: Message) -> str:
    """SHA-256, in hex, of what the message says: sender, subject, time, words, attachments.

    The way a mail travelled and the wrapping of its lines do not count, so a second copy has the same hash.
    The words are hashed in sorted order: telling quotes from own text in a better way must not change them.
    """
    sent = message.sent.astimezone(UTC).isoformat() if message.sent else ""
    parts = (message.text, message.quoted, message.forwarded, message.signature)
    words = " ".join(sorted(word for part in parts for word in part.split()))
    files = tuple(f"{a.name} {a.content_type} {a.size}" for a in message.attachments)
    fields = (
        message.channel,
        message.sender.email,
        message.sender.name,
        message.subject,
        sent,
        words,
        *files,
    )
    canonical = "\x1f".join(" ".join(field.split()) for field in fields)
    return hashlib.sha256(canonical.encode("utf-8", "replace")).hexdigest()


def content_id(message: Message) -> str:
    """The id of a message that brings none: "sha256:" and its content hash."""
    return f"sha256:{content_hash(message)}"


def distinct_id(message: Message) -> str:
    """An id for a message whose Message-ID another message with other content already has."""
    return f"{message.id}+{content_hash(message)[:12]}"

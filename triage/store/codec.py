"""Values to and from what SQLite keeps: moments, JSON, compressed bytes, and text that can be encoded."""

from __future__ import annotations

import dataclasses
import hashlib
import json
import zlib
from datetime import UTC, datetime
from typing import TypeVar

from triage.model import FactValue, Message

T = TypeVar("T")


def moment_text(moment: datetime) -> str:
    """A moment in UTC as fixed-width ISO 8601, so that text order is time order.

    >>> moment_text(datetime(2026, 11, 25, 9, 30, tzinfo=UTC))
    '2026-11-25T09:30:00.000000+00:00'
    """
    aware = moment if moment.tzinfo else moment.replace(tzinfo=UTC)
    try:
        in_utc = aware.astimezone(UTC)
    except OverflowError:  # year 1 or 9999 with an offset: such a date is damage anyway
        in_utc = aware.replace(tzinfo=UTC)
    return in_utc.isoformat(timespec="microseconds")


def moment(text: str) -> datetime:
    """The moment written by `moment_text`."""
    return datetime.fromisoformat(text)


def to_json(value: object) -> str:
    """Compact JSON, readable as it stands (no escapes for non-ASCII letters)."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def packed(raw: bytes) -> bytes:
    """Bytes compressed with zlib (RFC 1950)."""
    return zlib.compress(raw)


def unpacked(blob: bytes) -> bytes:
    """The bytes that `packed` compressed."""
    return zlib.decompress(blob)


def encodable(value: T) -> T:
    """The same value with lone surrogates, which UTF-8 cannot hold, replaced by "?" in every text of it.

    Works through tuples and dataclasses. Damaged mail brings such characters; its raw bytes stay as they are.
    """
    if isinstance(value, str):
        return value.encode("utf-8", "replace").decode("utf-8")  # type: ignore[return-value]
    if isinstance(value, tuple):
        return tuple(map(encodable, value))  # type: ignore[return-value]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = {f.name: encodable(getattr(value, f.name)) for f in dataclasses.fields(value)}
        return dataclasses.replace(value, **fields)
    return value


def content_digest(message: Message) -> str:
    """SHA-256 of what was written, by whom and when; not of how it travelled.

    Two copies of one mail differ in transport headers and line ends, so the raw bytes are no use here.
    """
    sent = moment_text(message.sent) if message.sent else ""
    texts = (message.subject, message.text, message.quoted, message.forwarded, message.signature)
    attachments = [[a.name, a.content_type, a.size] for a in message.attachments]
    written = [message.sender.email, sent, [" ".join(text.split()) for text in texts], attachments]
    return hashlib.sha256(to_json(written).encode()).hexdigest()


def value_text(value: FactValue) -> str:
    """A fact's value as the look-up table keeps it: 48 and 48.0 are one value.

    >>> value_text(48.0), value_text("electric"), value_text((6.1, 6.2))
    ('48', 'electric', '6.1, 6.2')
    """
    if isinstance(value, tuple):
        return ", ".join(map(value_text, value))
    return value if isinstance(value, str) else f"{value:.10g}"

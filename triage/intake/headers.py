"""Header fields of a mail, every access guarded: addresses, ids, dates and texts as senders write them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from email.headerregistry import AddressHeader, BaseHeader, HeaderRegistry
from email.message import Message as Mail
from email.policy import default
from email.utils import getaddresses, parsedate_to_datetime
from functools import lru_cache
from typing import Any, TypeVar

from triage.intake.decode import header_text
from triage.model import Address

T = TypeVar("T")
_REGISTRY = HeaderRegistry()
_CACHED_LENGTH = 1_000  # characters; longer values are not worth keeping
_LONGEST_PARSED = 4_000  # characters; the standard library's full address grammar is slow beyond
_MOST_REFERENCES = 100  # a longer chain keeps its root and its newest ids
_LONGEST_VALUE = 32_768  # characters of a header looked at; no honest one is longer
_LONGEST_ID = 998  # RFC 5322 section 2.1.1: no line is longer
_ID = re.compile(r"<([^<>]+)>")
_COMMENT = re.compile(r"\([^()]*\)")


@lru_cache(maxsize=256)
def _cached_header(name: str, value: str) -> BaseHeader:
    return _REGISTRY(name, value)


def _header(name: str, value: Any) -> BaseHeader:
    """A parsed header; the parser of mails asks for the same Content-Type many times over."""
    return _cached_header(name, value) if len(value) <= _CACHED_LENGTH else _REGISTRY(name, value)


POLICY = default.clone(header_factory=_header)


def guarded(read: Callable[[], T], default: T) -> T:
    """`read()`, or `default` where the standard library gives up on a malformed header.

    It raises IndexError, AttributeError, RecursionError and more for bad input, so all are caught.
    """
    try:
        return read()
    except Exception:
        return default


@dataclass(frozen=True, slots=True)
class Headers:
    """Raw header values by lower-case name; `notes` gathers what was mended while reading them."""

    values: Mapping[str, tuple[str, ...]]
    notes: list[str] = field(default_factory=list)

    @classmethod
    def of(cls, mail: Mail) -> Headers:
        """The headers of a parsed mail, unparsed, in the order they came."""
        values: dict[str, tuple[str, ...]] = {}
        for name, value in mail.raw_items():
            values[name.lower()] = (*values.get(name.lower(), ()), str(value)[:_LONGEST_VALUE])
        return cls(values)

    def raw(self, name: str) -> str:
        """The first value of `name` as it came, or ""."""
        return self.values.get(name, ("",))[0]

    def text(self, name: str) -> str:
        """The first value of `name`, decoded, on one line."""
        text, notes = header_text(self.raw(name))
        self.notes.extend(f"{name}: {note}" for note in notes)
        return text

    def addresses(self, name: str) -> tuple[Address, ...]:
        """All mailboxes of `name`, groups flattened; entries without an address are left out."""
        return tuple(a for value in self.values.get(name, ()) for a in addresses(value))

    def ids(self, name: str) -> tuple[str, ...]:
        """Message ids without angle brackets, in order, each once; free text between them is dropped."""
        found = (i for value in self.values.get(name, ()) for i in _ID.findall(value))
        plain = (_plain_id(i) for i in found if len(i) <= _LONGEST_ID)
        unique = tuple(dict.fromkeys(filter(None, plain)))
        return unique if len(unique) <= _MOST_REFERENCES else (unique[0], *unique[1 - _MOST_REFERENCES :])

    def message_id(self) -> str:
        """The Message-ID, also where its angle brackets are missing; "" when there is none to use."""
        found = self.ids("message-id")
        if found:
            return found[0]
        bare = self.raw("message-id").strip()
        return bare if 0 < len(bare) <= _LONGEST_ID and not re.search(r"[\s<>]", bare) else ""

    def sent(self) -> datetime | None:
        """The Date with its zone (RFC 5322 section 3.3: "-0000" is UTC), or None with a note."""
        value = self.raw("date")
        sent = read_date(value)
        if sent is None and value.strip():
            self.notes.append(f"date cannot be read: {header_text(value).text[:60]}")
        return sent

    def flat(self) -> dict[str, str]:
        """First value of each header, unfolded: what rules over headers look at."""
        return {name: " ".join(values[0][:_LONGEST_ID].split()) for name, values in self.values.items()}


def _plain_id(value: str) -> str:
    """White space and comments inside an id are obsolete syntax (RFC 5322 section 4.5.4)."""
    return "".join(_COMMENT.sub("", value).split()).encode("utf-8", "replace").decode()


def addresses(value: str) -> tuple[Address, ...]:
    """Mailboxes of one address header, tolerant of what the grammar forbids."""
    strict = () if "=?" in value or len(value) > _LONGEST_PARSED or not value.isascii() else _grammar(value)
    return strict or guarded(lambda: _tolerant(value), ())


def _grammar(value: str) -> tuple[Address, ...]:
    def read() -> tuple[Address, ...]:
        header = _header("to", " ".join(value.split()))
        found: tuple[Any, ...] = header.addresses if isinstance(header, AddressHeader) else ()
        return tuple(_address(a.addr_spec, a.display_name) for a in found if a.username and a.domain)

    return guarded(read, ())


def _tolerant(value: str) -> tuple[Address, ...]:
    pairs = getaddresses([" ".join(value.split())])
    return tuple(_address(email, header_text(name).text) for name, email in pairs if "@" in email)


def _address(email: str, name: str) -> Address:
    email = header_text(email).text.lower()
    name = header_text(name).text.strip("'\" ")
    return Address(email, "" if name.lower() == email else name)


def read_date(value: str) -> datetime | None:
    """A mail date, obsolete forms included (RFC 5322 section 4.3), or an ISO 8601 one; else None."""
    plain = re.sub(r"\s*:\s*", ":", _COMMENT.sub(" ", value[:200])).strip()
    for read in (parsedate_to_datetime, datetime.fromisoformat):
        found = guarded(lambda read=read: _zoned(read(plain)), None)  # type: ignore[misc]
        if found:
            return found
    return None


def _zoned(moment: datetime) -> datetime:
    aware = moment if moment.tzinfo else moment.replace(tzinfo=UTC)
    aware.astimezone(UTC)  # raises for a year at the very edge of the calendar
    return aware

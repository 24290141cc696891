"""Which mailbox, and which folders of it; kept in the store as JSON. The password is never part of it."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any


@dataclass(frozen=True, slots=True)
class Account:
    """A mailbox on an IMAP server, reached over TLS from the first byte (RFC 8314 section 3)."""

    name: str
    host: str
    user: str
    port: int = 993
    folders: tuple[str, ...] = ("INBOX",)  # where questions come in
    drafts: str = ""  # where drafts are laid; "" lays none
    sent: str = ""  # where what was sent is found; "" looks nowhere
    keyword: str = ""  # set on each mail taken in; "" leaves every flag as it is
    since: str = ""  # ISO date: older mail is left where it is; "" takes in all
    ca_file: str = ""  # certificates to trust instead of the system's
    password_env: str = ""  # environment variable with the password; "" asks the system's keyring

    @property
    def first_day(self) -> date | None:
        """The day from which mail is taken in; None for all of it."""
        return date.fromisoformat(self.since) if self.since else None


@dataclass(frozen=True, slots=True)
class ExportFolder:
    """A folder of this computer into which a web form or a chat puts its exports."""

    name: str
    path: str


Place = Account | ExportFolder

_KINDS: dict[str, type[Account] | type[ExportFolder]] = {"imap": Account, "folder": ExportFolder}


def to_text(place: Place) -> str:
    """As the store keeps it."""
    kind = next(kind for kind, made in _KINDS.items() if isinstance(place, made))
    return json.dumps({"kind": kind, **asdict(place)}, ensure_ascii=False)


def from_text(text: str) -> Place:
    """What `to_text` wrote."""
    record: dict[str, Any] = json.loads(text)
    made = _KINDS[record.pop("kind")]
    if "folders" in record:
        record["folders"] = tuple(record["folders"])
    return made(**record)

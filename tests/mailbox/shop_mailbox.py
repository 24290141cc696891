"""The shop's account on the test's server, a person's own mail program on it, and the day of the test."""

from __future__ import annotations

import ssl
from datetime import UTC, datetime, timedelta
from typing import Any

from imapclient import IMAPClient
from mail_server import PASSWORD, USER, Dovecot

from triage.mailbox import Account

PASSWORD_ENV = "MAILBOX_TEST_PASSWORD"


class Clock:
    """The day of the test; `pass_days` lets time go by. A second passes at each look."""

    def __init__(self) -> None:
        self.at = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.at += timedelta(seconds=1)
        return self.at

    def pass_days(self, days: float) -> None:
        self.at += timedelta(days=days)


def account_at(server: Dovecot, **more: Any) -> Account:
    """The shop's account on a server; keywords change what is usual."""
    usual: dict[str, Any] = {"drafts": "Drafts", "sent": "Sent", "ca_file": str(server.ca_file)}
    return Account("shop", "localhost", USER, server.port, password_env=PASSWORD_ENV, **(usual | more))


class Program:
    """Another mail program on the same mailbox: a person's."""

    def __init__(self, server: Dovecot) -> None:
        context = ssl.create_default_context(cafile=str(server.ca_file))
        self.imap = IMAPClient("localhost", port=server.port, ssl_context=context, timeout=20)
        self.imap.login(USER, PASSWORD)

    def mails(self, folder: str) -> dict[int, bytes]:
        """What lies in a folder, by UID."""
        self.imap.select_folder(folder, readonly=True)
        found = self.imap.fetch(self.imap.search(), ["BODY.PEEK[]"])
        return {uid: told[b"BODY[]"] for uid, told in sorted(found.items()) if told.get(b"BODY[]") is not None}

    def flags(self, folder: str) -> list[tuple[bytes, ...]]:
        """Flags of each mail, without \\Recent, which is no flag of the mail's own."""
        self.imap.select_folder(folder, readonly=True)
        found = self.imap.get_flags(self.imap.search())
        return [tuple(sorted(set(flags) - {b"\\Recent"})) for _, flags in sorted(found.items())]

    def put(self, folder: str, mail: bytes, *flags: bytes) -> None:
        self.imap.append(folder, mail, flags=flags)

    def delete(self, folder: str, *uids: int) -> None:
        self.imap.select_folder(folder)
        self.imap.delete_messages(uids or self.imap.search(), silent=True)
        self.imap.expunge()

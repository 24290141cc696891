"""Mail for the command line's tests, written out as files; all names are invented."""

from __future__ import annotations

from collections.abc import Iterable
from email.message import EmailMessage
from email.policy import SMTP
from pathlib import Path

BASE_DATE = "Mon, 09 Nov 2026 {hour:02}:{minute:02}:00 +0000"


def mail(
    number: int,
    text: str,
    *,
    sender: str = "Ida Fen <ida@mail.example>",
    subject: str = "Cart clicks",
    answers: tuple[str, ...] = (),
    domain: str = "mail.example",
) -> bytes:
    """One mail with the Message-ID <m{number}@{domain}>; `answers` are its References, the last its parent."""
    made = EmailMessage(policy=SMTP.clone(linesep="\n"))
    made["From"] = sender
    made["To"] = "workshop@harrowlane.example"
    made["Subject"] = subject
    made["Date"] = BASE_DATE.format(hour=8 + number // 60 % 12, minute=number % 60)
    made["Message-ID"] = f"<m{number}@{domain}>"
    if answers:
        made["In-Reply-To"] = f"<{answers[-1]}>"
        made["References"] = " ".join(f"<{id}>" for id in answers)
    made.set_content(text)
    return made.as_bytes()


def mbox(path: Path, mails: Iterable[bytes]) -> Path:
    """The mails as one mailbox file (RFC 4155)."""
    separator = b"From somebody@mail.example Mon Nov  9 08:00:00 2026\n"
    path.write_bytes(b"".join(separator + made.replace(b"\nFrom ", b"\n>From ") + b"\n" for made in mails))
    return path


def many(path: Path, count: int, domain: str = "mail.example", lines: int = 1) -> Path:
    """A mailbox of `count` mails of as many people, each `lines` lines longer than a word."""
    filling = "\nIt has always been kept in the dry barn." * lines
    return mbox(
        path,
        (
            mail(
                number,
                f"My 48 volt cart number {number} clicks.{filling}",
                sender=f"Asker {number} <asker{number}@{domain}>",
                subject=f"Cart {number}",
                domain=domain,
            )
            for number in range(count)
        ),
    )

"""Letters for the mailbox's tests; all names are invented."""

from __future__ import annotations

from email.message import EmailMessage
from email.parser import BytesParser
from email.policy import SMTP
from email.policy import default as policy

SHOP = "workshop@harrowlane.example"
IDA = "Ida Fen <ida@mail.example>"
CLICKS = "Hello, my 2012 Lark only clicks and will not move. What should I check?"


def letter(
    number: int,
    text: str = CLICKS,
    *,
    sender: str = IDA,
    to: str = SHOP,
    subject: str = "Cart clicks",
    answers: tuple[str, ...] = (),
    day: int = 24,
    hour: int = 8,
    **headers: str,
) -> bytes:
    """A mail with the Message-ID <m{number}@mail.example>; `answers` are its References, the last its parent."""
    made = EmailMessage(policy=SMTP)
    made["From"], made["To"], made["Subject"] = sender, to, subject
    made["Date"] = f"{day:02} Nov 2026 {hour:02}:{number % 60:02}:00 +0000"
    made["Message-ID"] = f"<m{number}@mail.example>"
    if answers:
        made["In-Reply-To"] = f"<{answers[-1]}>"
        made["References"] = " ".join(f"<{id}>" for id in answers)
    for name, value in headers.items():
        made[name.replace("_", "-")] = value
    made.set_content(text)
    return made.as_bytes()


def many(count: int, first: int = 0) -> list[bytes]:
    """Letters of as many people."""
    return [
        letter(n, f"My 48 volt cart number {n} clicks.", sender=f"Asker {n} <a{n}@mail.example>", subject=f"Cart {n}")
        for n in range(first, first + count)
    ]


def parsed(mail: bytes) -> EmailMessage:
    return BytesParser(EmailMessage, policy=policy).parsebytes(mail)


def as_sent(draft: bytes, *, words: str | None = None, keep: tuple[str, ...] = (), day: int = 25) -> bytes:
    """A draft as a mail program sends it: a new Message-ID and date, our mark gone; `keep` names what it leaves."""
    mail = parsed(draft)
    for name in ("X-Cart-Triage", "Message-ID"):
        if name not in keep:
            del mail[name]
    if "Message-ID" not in keep:
        mail["Message-ID"] = "<sent-1@harrowlane.example>"
    mail.replace_header("Date", f"{day} Nov 2026 10:00:00 +0000")
    if words is not None:
        mail.set_content(words)
    return mail.as_bytes()

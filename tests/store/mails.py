"""Messages and a clock for the store's tests; all names are invented."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import count

from triage.model import Address, Message

START = datetime(2026, 11, 9, 8, 0, tzinfo=UTC)
IDA = Address("ida@mail.example", "Ida Fen")
ODD = Address("odd@post.example", "Odd Marl")


class Clock:
    """A clock that moves on by one minute each time it is read."""

    def __init__(self) -> None:
        self._minutes = count()

    def __call__(self) -> datetime:
        return START + timedelta(days=1, minutes=next(self._minutes))


def mail(
    id: str = "m1@mail.example",
    text: str = "my cart only clicks",
    *,
    sender: Address = IDA,
    subject: str = "Cart clicks",
    refs: tuple[str, ...] = (),
    reply_to: tuple[str, ...] = (),
    hours: float = 0,
    automatic: str = "",
) -> Message:
    """A message written `hours` after START."""
    return Message(
        id=id,
        channel="mail",
        sender=sender,
        subject=subject,
        sent=START + timedelta(hours=hours),
        text=text,
        in_reply_to=reply_to,
        references=refs,
        automatic=automatic,
        raw=f"Subject: {subject}\r\n\r\n{text}".encode("utf-8", "surrogateescape"),
    )

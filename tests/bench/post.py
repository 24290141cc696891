"""Mail for the workbench's tests; all names are invented."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from triage.model import Address, Message

START = datetime(2026, 11, 23, 8, 0, tzinfo=UTC)
NOW = START + timedelta(days=2)

TEXTS = (
    ("Ida Fen", "Lark clicks", "My 2012 Tarvik Lark, 48 V I think, clicks but will not move. It is not lifted."),
    ("Bram Oost", "smoke", "Smoke came from under the seat of my Lark and the charger plug is burnt.\n\nWhat now?"),
    ("Dot Marsh", "Tyres", "Do 205/50-10 tyres rub on a stock 2017 Lark? No lift, no spacers."),
    ("Len Ashby", "36 to 48", "Can I go from 36 to 48 volts on my 2009 Ridge? The six 8 V batteries are new."),
    ("Una Vale", "Charging", "The charger of my 2016 Lark hums but the batteries never fill. Is it the charger?"),
    ("Cy Pruett", "Order 881", "Where is my order? I paid two weeks ago and nobody answers."),
    ("Nell Roe", "Wren", "2011 Wren petrol: cranks but will not start after winter. Fuel is old."),
    ("Abe Stone", "two things", "1. My 2012 Lark clicks but will not move. Why?\n\n2. Which tyres fit a lifted Ridge?"),
)


def message(number: int, who: str, subject: str, text: str, **more: object) -> Message:
    """One mail, written `number` hours after START."""
    first = who.split()[0].lower()
    fields = {
        "id": f"m{number}@mail.example", "channel": "mail", "sender": Address(f"{first}@mail.example", who),
        "subject": subject, "text": text, "sent": START + timedelta(hours=number),
        "raw": f"Subject: {subject}\r\n\r\n{text}".encode(),
    }  # fmt: skip
    return Message(**(fields | more))  # type: ignore[arg-type]


MAILS = tuple(message(number, *texts) for number, texts in enumerate(TEXTS, start=1))

"""Phone notes: one text file, each note under a line "--- 2026-11-12 10:40 Name 555-0101"."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from triage.intake.message import from_text
from triage.model import Message, Rejected

HEADING = re.compile(r"^---+ *(?P<when>\d{4}-\d\d-\d\d[ T]\d\d:\d\d) +(?P<who>.+?) *$", re.MULTILINE)
_PHONE = re.compile(r" *\(?\+?\d[\d ()-]{4,}\d$")


def is_notes(head: str) -> bool:
    """True when a text starts like a file of phone notes."""
    return bool(HEADING.match(head.lstrip("\ufeff\r\n ")))


def read_notes(path: Path) -> Iterator[Message | Rejected]:
    """Each note as a message of the "phone" channel; the caller's number goes into its remarks.

    A note without words, or with a date that is none, is set aside. The same note is the same message each time.
    """
    text = path.read_text(encoding="utf-8", errors="replace")
    headings = list(HEADING.finditer(text))
    for number, heading in enumerate(headings):
        end = headings[number + 1].start() if number + 1 < len(headings) else len(text)
        place = f"{path.name}, line {text.count(chr(10), 0, heading.start()) + 1}"
        yield _note(heading, text[heading.end() : end].strip(), place)


def _note(heading: re.Match[str], words: str, place: str) -> Message | Rejected:
    raw = f"{heading[0]}\n{words}".encode()
    if not words:
        return Rejected(place, "there are no words under this heading", raw)
    try:
        sent = datetime.fromisoformat(heading["when"]).replace(tzinfo=UTC)
    except ValueError:
        return Rejected(place, f"'{heading['when']}' is no date and time", raw)
    phone = _PHONE.search(heading["who"])
    name = _PHONE.sub("", heading["who"]).strip(" ,\"'")
    message = from_text(words, sender=name, sent=sent)
    remarks = (*message.notes, f"rang from {phone[0].strip()}") if phone else message.notes
    return replace(message, id=f"sha256:{hashlib.sha256(raw).hexdigest()}", notes=remarks, raw=raw)

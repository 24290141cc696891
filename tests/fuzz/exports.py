"""Any bytes as a file to take in: an mbox, a table, JSON lines or phone notes. The first byte says which."""

from __future__ import annotations

from pathlib import Path
from tempfile import mkdtemp

from triage.intake import IntakeError, read_source
from triage.model import Message

from .mail import check
from .targets import Target

KINDS = (".mbox", ".csv", ".jsonl", ".txt", ".tsv", ".eml")


def make() -> Target:
    folder = Path(mkdtemp(prefix="exports-"))

    def one(data: bytes) -> None:
        file = folder / f"export{KINDS[data[0] % len(KINDS)] if data else '.mbox'}"
        file.write_bytes(data[1:])
        try:
            for item in read_source(file):
                if isinstance(item, Message):
                    check(item)
                else:
                    assert item.source and item.reason
        except IntakeError as refusal:
            assert str(file) in str(refusal)

    return one

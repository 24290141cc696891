"""Mailbox files (RFC 4155), read one message at a time whatever their size."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO

from triage.intake.message import LARGEST

# A body line may start with "From " too: only one with a time and a year, after a blank line, parts messages.
_SEPARATOR = re.compile(rb"From \S+.*\d{1,2}:\d{2}.*\b\d{4}\b|From \S*\s*$")
_ESCAPED = re.compile(rb">+From ")
_LONGEST_READ = 1 << 20  # a line longer than this arrives in pieces


@dataclass(frozen=True, slots=True)
class Raw:
    """One message of a mailbox: its place, its bytes, and its full size (more than `data` when cut)."""

    number: int
    offset: int
    data: bytes
    size: int


def messages(file: BinaryIO, *, largest: int = LARGEST) -> Iterator[Raw]:
    """The messages of an mbox, without separators, with escaped "From " lines undone.

    One ">" goes from every ">From ", ">>From ": right for mboxrd, and for mboxo as far as that can be undone.
    Of a message above `largest` bytes only that many are kept, so memory stays flat.
    """
    kept: list[bytes] = []
    number = size = start = offset = 0
    blank, whole = True, True  # the line before was blank; it was read to its end
    while line := file.readline(_LONGEST_READ):
        offset += len(line)
        if blank and whole and _SEPARATOR.match(line.rstrip()):
            if number:
                yield _raw(number, start, kept, size)
            number, start, kept, size = number + 1, offset - len(line), [], 0
        elif number:
            text = line[1:] if whole and _ESCAPED.match(line) else line
            kept += [text] if size <= largest else []
            size += len(text)
        blank, whole = not line.strip(b"\r\n"), line.endswith(b"\n")
    if number:
        yield _raw(number, start, kept, size)


def _raw(number: int, offset: int, kept: list[bytes], size: int) -> Raw:
    """The blank line before the next separator is the mailbox's, not the message's."""
    if len(kept) > 1 and not kept[-1].strip(b"\r\n"):
        size -= len(kept.pop())
    return Raw(number, offset, b"".join(kept), size)

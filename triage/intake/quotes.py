"""Which lines of a mail are the asker's own, which are quoted history, which are forwarded."""

from __future__ import annotations

from enum import Enum

from triage.intake.marks import (
    FORWARD_MARK,
    ORIGINAL_MARK,
    SEPARATOR,
    attribution_length,
    header_block_length,
    is_quoted,
    next_line,
)


class Kind(Enum):
    """What a line is."""

    OWN = "text"
    QUOTED = "quoted"
    FORWARDED = "forwarded"
    SIGNATURE = "signature"


def label_lines(lines: list[str], *, forwarding: bool = False) -> list[Kind]:
    """One kind for each line: top posting, bottom posting and interleaved replies.

    Lines marked ">" are quoted one by one, so what stands between them stays the asker's own.
    A copy without marks has no end that could be seen: it runs to the end of the mail.
    `forwarding` tells that the subject says so, which decides what an unmarked copy is.
    """
    kinds: list[Kind] = []
    while len(kinds) < len(lines):
        at = len(kinds)
        rest = _rest_kind(lines, at, forwarding)
        if rest:
            return kinds + [rest] * (len(lines) - at)
        quoted = _quoted_length(lines, at)
        kinds += [Kind.QUOTED] * quoted or [Kind.OWN]
    return kinds


def _quoted_length(lines: list[str], at: int) -> int:
    return 1 if is_quoted(lines[at]) else attribution_length(lines, at)


def _rest_kind(lines: list[str], at: int, forwarding: bool) -> Kind | None:
    """The kind of everything from `at` on, when an unmarked copy starts here."""
    line = lines[at]
    if not line.strip() or is_quoted(line):
        return None
    if FORWARD_MARK.match(line):
        return Kind.FORWARDED
    copied = Kind.FORWARDED if forwarding else Kind.QUOTED
    if ORIGINAL_MARK.match(line) or _header_starts(lines, at):
        return copied
    return Kind.QUOTED if _unmarked_attribution(lines, at) else None


def _header_starts(lines: list[str], at: int) -> bool:
    if not SEPARATOR.match(lines[at]):
        return header_block_length(lines, at) > 0
    after = next((n for n in range(at + 1, min(at + 4, len(lines))) if lines[n].strip()), None)
    return after is not None and header_block_length(lines, after, least=2) > 0


def _unmarked_attribution(lines: list[str], at: int) -> bool:
    length = attribution_length(lines, at)
    after = next_line(lines, at + length) if length else ""
    return bool(after) and not is_quoted(after)

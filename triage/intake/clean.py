"""The asker's own words apart from history, forwarded mail and signature; nothing is lost on the way."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from triage.intake.flowed import SIGNATURE
from triage.intake.marks import FORWARD_MARK, ORIGINAL_MARK, SEPARATOR, header_block_length
from triage.intake.quotes import Kind, label_lines
from triage.intake.signatures import label_signatures
from triage.intake.subjects import is_forward

BARE_COPY = "the mail holds only a copied message: its text is read as the question"


@dataclass(frozen=True, slots=True)
class Cleaned:
    """A body taken apart: every line that is not blank stands in exactly one of the four."""

    text: str = ""
    quoted: str = ""
    forwarded: str = ""
    signature: str = ""
    notes: tuple[str, ...] = ()


def clean(body: str, subject: str = "", writer: str = "") -> Cleaned:
    """Take a plain-text body apart; the subject tells a forward, the writer's name a signature of one name.

    >>> clean("It clicks.\\n\\n-- \\nJo\\n").signature
    '-- \\nJo'
    """
    return lift_copy(_apart(body, writer, forwarding=is_forward(subject)))


def _apart(body: str, writer: str = "", *, forwarding: bool = False) -> Cleaned:
    lines = [line if line == SIGNATURE else line.rstrip() for line in body.split("\n")]
    kinds = label_signatures(lines, label_lines(lines, forwarding=forwarding), writer)
    own, quoted, forwarded, signature = (_gathered(lines, kinds, kind) for kind in Kind)
    return Cleaned(own, quoted, forwarded, signature)


def _gathered(lines: list[str], kinds: list[Kind], wanted: Kind) -> str:
    """The lines of one kind, a blank line where others stood between them."""
    kept: list[str] = []
    for at, (line, kind) in enumerate(zip(lines, kinds, strict=True)):
        if kind is wanted:
            kept += ["", line] if at and kinds[at - 1] is not wanted else [line]
    return tidy("\n".join(kept))


def tidy(text: str) -> str:
    """At most one blank line in a row, none at the ends; the indent of the first line stays."""
    return re.sub(r"\n(?:[ \t]*\n){2,}", "\n\n", text).strip("\n").rstrip()


def lift_copy(cleaned: Cleaned) -> Cleaned:
    """A mail that only passes another one on: the copy's body is what is asked."""
    if cleaned.text.strip():
        return cleaned
    for kind in ("forwarded", "quoted"):
        head, body = _below_header(getattr(cleaned, kind))
        if body:
            return _merged(replace(cleaned, notes=(BARE_COPY,), **{kind: head}), _apart(body))
    return cleaned


def _merged(outer: Cleaned, inner: Cleaned) -> Cleaned:
    """`inner` as the words asked, its other parts below those of `outer`."""

    def both(name: str) -> str:
        return "\n\n".join(filter(None, (getattr(outer, name), getattr(inner, name))))

    return Cleaned(inner.text, both("quoted"), both("forwarded"), both("signature"), outer.notes)


def _below_header(copy: str) -> tuple[str, str]:
    """A copied mail as its header and its body; ("", "") when no header block stands on top."""
    lines = copy.split("\n")
    for at, line in enumerate(lines[:6]):
        length = header_block_length(lines, at, least=2)
        if length:
            return "\n".join(lines[: at + length]), tidy("\n".join(lines[at + length :]))
        if line.strip() and not (FORWARD_MARK.match(line) or ORIGINAL_MARK.match(line) or SEPARATOR.match(line)):
            break
    return "", ""

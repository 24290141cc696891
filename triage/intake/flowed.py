"""Flowed text: paragraphs that a sender wrapped softly, made whole again (RFC 3676)."""

from __future__ import annotations

import re

_QUOTE = re.compile(r">*")
SIGNATURE = "-- "  # RFC 3676 section 4.3: never flowed, whatever stands before it


def unflow(text: str, *, delsp: bool = False) -> str:
    """Join soft-wrapped lines, keeping quote depth as leading ">" marks.

    `delsp` is the DelSp parameter: the space that marks the soft break goes when lines are joined.

    >>> unflow("Will it \\nstart?\\n>> Quoted \\n>> text")
    'Will it start?\\n>> Quoted text'
    """
    paragraphs: list[tuple[int, str, bool]] = []  # depth, text, open for more
    for line in text.split("\n"):
        depth, content = _unquote(line)
        soft = content.endswith(" ") and content != SIGNATURE
        body = content[:-1] if soft and delsp else content
        if paragraphs and paragraphs[-1][2] and paragraphs[-1][0] == depth and content != SIGNATURE:
            body = paragraphs.pop()[1] + body
        paragraphs.append((depth, body, soft))
    return "\n".join(">" * depth + (" " if depth and body else "") + body for depth, body, _ in paragraphs)


def _unquote(line: str) -> tuple[int, str]:
    depth = len(_QUOTE.match(line)[0])  # type: ignore[index]  # the pattern matches any line
    content = line[depth:]
    return depth, content[1:] if content.startswith(" ") else content  # section 4.4: space-stuffing

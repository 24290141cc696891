"""Cut an answer's Markdown into paragraphs, branches and sentences."""

from __future__ import annotations

import re
from dataclasses import dataclass

_SENTENCE_END = re.compile(r"(?<=[.!?])[\"')\]]*\s+(?=[A-Z0-9\"'(])")
_NOT_AN_END = re.compile(r"(?:\b(?:e\.g|i\.e|approx|no|max|min|vs|St)\.)$")
_BULLET = re.compile(r"^\s*(?:[-*+]|\d+[.)])\s+")
_BRANCH = re.compile(r"^\s*(?:\*\*)?(?:if|when|on|with|for)\b(?P<condition>[^:]{3,120}):", re.IGNORECASE)
_EMPHASIS = re.compile(r"(\*\*|__|`)")


@dataclass(frozen=True, slots=True)
class Block:
    """A paragraph or one bullet; `condition` is the text between "If" and the colon of a branch."""

    text: str
    paragraph: int
    bullet: bool = False
    condition: str = ""


def blocks(markdown: str) -> tuple[Block, ...]:
    """Blocks in order; wrapped lines are joined, emphasis marks and headings' signs taken off."""
    result: list[Block] = []
    for number, group in enumerate(re.split(r"\n\s*\n", markdown.strip())):
        for line in _joined_lines(group):
            bullet = bool(_BULLET.match(line))
            text = _EMPHASIS.sub("", _BULLET.sub("", line)).lstrip("# ").strip()
            branch = _BRANCH.match(text)
            if text:
                result.append(Block(text, number, bullet, branch["condition"].strip() if branch else ""))
    return tuple(result)


def _joined_lines(group: str) -> list[str]:
    lines: list[str] = []
    for line in group.splitlines():
        if lines and not _BULLET.match(line):
            lines[-1] = f"{lines[-1]} {line.strip()}"
        else:
            lines.append(line.strip())
    return lines


def sentences(text: str) -> tuple[str, ...]:
    """Sentences of a paragraph.

    >>> sentences("Key off first. Then measure: 12.7 V is full.")
    ('Key off first.', 'Then measure: 12.7 V is full.')
    """
    parts: list[str] = []
    for piece in _SENTENCE_END.split(text.strip()):
        if parts and _NOT_AN_END.search(parts[-1]):
            parts[-1] = f"{parts[-1]} {piece}"
        else:
            parts.append(piece)
    return tuple(part for part in parts if part)

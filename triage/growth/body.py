"""The text of an answer as its file holds it: a line a sentence, a bullet a branch; and the smallest change to it."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence

WIDTH = 108
_BULLET = re.compile(r"^\s*[-*+]\s+")


def laid_out(texts: Iterable[str]) -> str:
    """Sentences as an answer's Markdown: branches ("If ...:") as bullets together, the rest a line each."""
    groups: list[list[str]] = []
    for text in texts:
        branch = is_branch(text)
        if not groups or branch != groups[-1][0].startswith("- "):
            groups.append([])
        groups[-1].append(_wrapped(f"- {text}" if branch else text))
    return "\n\n".join("\n".join(group) for group in groups)


def is_branch(text: str) -> bool:
    """A sentence for one case only: "If it clicks: test the coil."

    >>> is_branch("If it clicks: test the coil."), is_branch("Test the coil.")
    (True, False)
    """
    return bool(re.match(r"if\b[^:]{3,120}:", text, re.IGNORECASE))


def with_branch(text: str, branch: str) -> str:
    """The text with one more bullet, after its last one; where it has none, at its end."""
    lines = text.split("\n")
    last = max((number for number, line in enumerate(lines) if _BULLET.match(line)), default=None)
    new = _wrapped(f"- {branch}").split("\n")
    if last is None:
        return "\n".join([*lines, "", *new])
    end = last + 1
    while end < len(lines) and lines[end].strip() and not _BULLET.match(lines[end]):
        end += 1
    return "\n".join([*lines[:end], *new, *lines[end:]])


def with_sentences(text: str, added: Sequence[str]) -> str:
    """The text with sentences as one more paragraph at its end, a line each."""
    return "\n\n".join(filter(None, (text, "\n".join(map(_wrapped, added)))))


def with_replaced(text: str, old: str, new: str) -> str:
    """The text with one sentence in another's place; only its own block is wrapped anew. The text itself when the old
    sentence does not stand in it."""
    pattern = re.compile(r"\s+".join(map(re.escape, old.split())))
    found = pattern.search(text)
    if not found:
        return text
    lines = text.split("\n")
    first, last = _block(lines, text.count("\n", 0, found.start()), text.count("\n", 0, found.end()))
    joined = " ".join(line.strip() for line in lines[first : last + 1])
    changed = _wrapped(pattern.sub(lambda _: new, joined, count=1))
    return "\n".join([*lines[:first], *changed.split("\n"), *lines[last + 1 :]])


def _block(lines: Sequence[str], first: int, last: int) -> tuple[int, int]:
    """First and last line of the bullet or paragraph that holds these lines."""
    while first > 0 and lines[first - 1].strip() and not _BULLET.match(lines[first]):
        first -= 1
    while last + 1 < len(lines) and lines[last + 1].strip() and not _BULLET.match(lines[last + 1]):
        last += 1
    return first, last


def _wrapped(text: str) -> str:
    hanging = "  " if _BULLET.match(text) else ""
    return textwrap.fill(text, WIDTH, subsequent_indent=hanging, break_long_words=False, break_on_hyphens=False)

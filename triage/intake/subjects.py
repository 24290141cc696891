"""Subjects: their base, and whether they announce a reply or a forward (RFC 5256 section 2.1)."""

from __future__ import annotations

import re

_LONGEST = 1_000  # characters; a subject is one line
_BLOB = r"(?:\[[^\[\]]*\]\s*)"
_LEADER = re.compile(rf"{_BLOB}*(?:re|fwd?)\s*{_BLOB}?:\s*", re.IGNORECASE)
_LEADING_BLOB = re.compile(_BLOB)
_TRAILER = re.compile(r"\s*\(fwd\)\s*$", re.IGNORECASE)
_WRAPPED = re.compile(r"\[fwd:(.*)\]$", re.IGNORECASE | re.DOTALL)
_FORWARD = re.compile(rf"{_BLOB}*(?:fwd?|wg|tr|rv|vs|vb)\s*{_BLOB}?:", re.IGNORECASE)


def base_subject(subject: str) -> str:
    """The subject without what replying and forwarding added (RFC 5256 section 2.1, steps 1 to 6).

    >>> base_subject("Re: [shop] Fwd: Brake squeal (fwd)")
    'Brake squeal'
    """
    return _base(subject)[0]


def is_reply_or_forward(subject: str) -> bool:
    """True when finding the base took off a reply or forward mark (RFC 5256's "reply or forward")."""
    return _base(subject)[1]


def is_forward(subject: str) -> bool:
    """True when the outermost mark is one of forwarding."""
    text = subject[:_LONGEST].strip()
    return bool(_FORWARD.match(text) or _WRAPPED.match(text) or _TRAILER.search(text))


def _base(subject: str) -> tuple[str, bool]:
    text, marked = " ".join(subject[:_LONGEST].split()), False
    while True:
        text, trailed = _without_trailer(text)
        text, led = _without_leaders(text)
        wrapped = _WRAPPED.match(text)
        marked = marked or trailed or led or bool(wrapped)
        if not wrapped:
            return text, marked
        text = wrapped[1].strip()


def _without_trailer(text: str) -> tuple[str, bool]:
    found = False
    while _TRAILER.search(text):
        text, found = _TRAILER.sub("", text), True
    return text, found


def _without_leaders(text: str) -> tuple[str, bool]:
    """Steps 3 to 5: leaders go; a leading [blob] goes too unless nothing would be left."""
    found = False
    while True:
        leader = _LEADER.match(text)
        blob = _LEADING_BLOB.match(text)
        if leader:
            text, found = text[leader.end() :], True
        elif blob and text[blob.end() :].strip() and not _WRAPPED.match(text):
            text = text[blob.end() :]
        else:
            return text, found

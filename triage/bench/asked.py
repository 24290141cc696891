"""What a browser asked for, read with care: it may be an old page, or made by hand."""

from __future__ import annotations


class Unreadable(ValueError):
    """The request does not fit what is there; the message says what to do."""


def whole(value: object, otherwise: int = 0) -> int:
    """A whole number of a form or an address; `otherwise` where it was left out. Raises Unreadable.

    >>> whole("12"), whole("")
    (12, 0)
    """
    text = str(value if value is not None else "").strip()
    if not text:
        return otherwise
    if not text.isascii() or not text.isdecimal() or len(text) > 12:
        raise Unreadable(f"'{text[:20]}' is not a number this page could have sent. Open the page again.")
    return int(text)

"""Text that would turn around what stands beside it, made visible as what it is."""

from __future__ import annotations

import re

# Embeddings, overrides and isolates (Unicode Standard Annex 9): "gpj.exe" can be made to read "exe.jpg" with them.
# Arabic and Hebrew need none of them to read right.
_TURNING = re.compile("[\u202a-\u202e\u2066-\u2069]")


def plainly(value: object) -> object:
    """A text with its turning characters shown as U+FFFD; anything else as it is. For Jinja's `finalize`."""
    if isinstance(value, str) and _TURNING.search(value):
        return type(value)(_TURNING.sub("\ufffd", value))
    return value

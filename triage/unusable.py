"""What a person gave cannot be used: one error for every way of giving it."""

from __future__ import annotations


class Unusable(ValueError):
    """What was given cannot be used; the message says what, where, and what to do."""

"""Which questions may be tuned on, and which stay locked: decided by the id alone, for good."""

from __future__ import annotations

import hashlib
from typing import Literal

Part = Literal["tuning", "locked"]

TUNING_SHARE = 0.6


def position(text: str) -> float:
    """A place in [0, 1) that depends on the text only: the same on every machine and in every run."""
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:6]) / 2**48


def part_of(question_id: str) -> Part:
    """The part a question belongs to."""
    return "tuning" if position(question_id) < TUNING_SHARE else "locked"

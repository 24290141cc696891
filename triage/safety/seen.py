"""One sign of a hazard in a question: where it stands, how it was found, and whether it happens or is planned."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from triage.model import Span


class How(IntEnum):
    """How a hazard comes into a question, the most pressing first."""

    REPORTED = 0  # it happens, or has just happened
    PLANNED = 1  # the asker is about to do it, or asks whether to
    HINTED = 2  # words or facts tell of it, not plainly enough to press
    LIKENED = 3  # sounds like a known danger, and no word or fact bears it out
    PROPOSED = 4  # a step of the reply brings it in


@dataclass(frozen=True, slots=True)
class Seen:
    """A hazard of the pack, seen once."""

    hazard: str
    how: How
    basis: str
    span: Span | None = None  # the asker's own words; None for what the reply proposes

"""The two sizes of paper a sheet is printed on, in points (1/72 inch)."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Paper:
    """A size of paper; width and height in points."""

    name: str  # as CSS writes it
    width: float
    height: float


A4 = Paper("A4", 595.276, 841.890)  # ISO 216: 210 x 297 mm
LETTER = Paper("letter", 612.0, 792.0)  # ANSI/ASME Y14.1: 8.5 x 11 in
PAPERS = {"a4": A4, "letter": LETTER}

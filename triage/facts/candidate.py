"""A fact on its way: what an extractor found, before standing, vehicle and merging are settled."""

from __future__ import annotations

from dataclasses import dataclass

from triage.language import Document
from triage.model import FactValue, Standing


@dataclass(frozen=True, slots=True)
class Candidate:
    """Name, value and unit at tokens first..last (half open) of the document."""

    name: str
    value: FactValue
    first: int
    last: int
    unit: str = ""
    basis: str = ""
    what: str = ""
    condition: str = ""
    standing: Standing | None = None  # set when the extractor knows it; else worked out from the scopes


def plain(value: float) -> int | float:
    """Whole numbers as int, others rounded to what people write.

    >>> plain(48.0), plain(14.913)
    (48, 14.91)
    """
    return int(value) if float(value).is_integer() else round(value, 2)


def words_basis(document: Document, first: int, last: int) -> str:
    """The usual basis: the asker's own words."""
    return f"words: '{document.words(first, last)}'"

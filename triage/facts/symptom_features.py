"""The words of a piece as features: stems, neighbours, and neighbours but one."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from triage.language import Document


def features(document: Document, first: int, last: int) -> frozenset[str]:
    """Features of tokens first..last (half open). Numbers count as one word: their values are other facts."""
    stems = ["#" if t.kind == "number" else t.stem for t in document.tokens[first:last] if t.kind in ("word", "number")]
    return frozenset((*stems, *_neighbours(stems)))


def _neighbours(stems: list[str]) -> Iterator[str]:
    yield from (f"{a} {b}" for a, b in itertools.pairwise(stems))
    yield from (f"{a} _ {b}" for a, b in zip(stems, stems[2:], strict=False))

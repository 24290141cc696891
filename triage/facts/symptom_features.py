"""The words of a piece as features: stems, neighbours, and the words beside a part."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from triage.language import Document

BESIDE = 3  # words before and after a part that may tell its misbehaviour


def features(document: Document, first: int, last: int) -> frozenset[str]:
    """Features of tokens first..last (half open). Numbers count as one word: their values are other facts."""
    stems = ["#" if t.kind == "number" else t.stem for t in document.tokens[first:last] if t.kind in ("word", "number")]
    return frozenset((*stems, *_neighbours(stems), *_beside_parts(document, first, last)))


def _neighbours(stems: list[str]) -> Iterator[str]:
    yield from (f"{a} {b}" for a, b in itertools.pairwise(stems))
    yield from (f"{a} _ {b}" for a, b in zip(stems, stems[2:], strict=False))


def _beside_parts(document: Document, first: int, last: int) -> Iterator[str]:
    for mention in document.of_kind("part"):
        if first <= mention.first and mention.last <= last:
            part = f"@{mention.entry.key}"
            yield part
            after = document.stems[mention.last : min(mention.last + BESIDE, last)]
            before = document.stems[max(mention.first - BESIDE, first) : mention.first]
            yield from (f"{part} > {stem}" for stem in after)
            yield from (f"{stem} > {part}" for stem in before)

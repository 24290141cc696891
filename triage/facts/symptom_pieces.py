"""Cut a text into the pieces a symptom is told in: sentences, and the parts of long ones."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from triage.language import Document

LONG = 20  # tokens; a longer sentence tells more than one thing
WINDOW = 14  # tokens of a stretch without marks, as speech typed by a machine is
STRIDE = 7
SHORT = 6  # tokens; "CLICKS. DOESNT MOVE." tells one thing in two sentences


@dataclass(frozen=True, slots=True)
class Piece:
    """Tokens first..last (half open)."""

    first: int
    last: int


def pieces(document: Document, most: int = 32) -> tuple[Piece, ...]:
    """Pieces in order of the text, at most `most`: of a longer text the first and the last ones."""
    found = [piece for piece in _all(document) if piece.last - piece.first > 1]
    return tuple(found if len(found) <= most else (*found[: most // 2], *found[-most // 2 :]))


def _all(document: Document) -> Iterator[Piece]:
    before: Piece | None = None
    for _, group in groupby(range(len(document.tokens)), key=lambda i: document.tokens[i].sentence):
        indexes = list(group)
        whole = Piece(indexes[0], indexes[-1] + 1)
        yield whole
        if before is not None and _one_thing(before, whole):
            yield Piece(before.first, whole.last)
        before = whole
        if whole.last - whole.first > LONG:
            yield from _parts(document, whole)


def _one_thing(before: Piece, after: Piece) -> bool:
    """Whether two sentences are so short that one may say what the other is about."""
    lengths = sorted((before.last - before.first, after.last - after.first))
    return lengths[0] <= SHORT and sum(lengths) <= LONG


def _parts(document: Document, sentence: Piece) -> Iterator[Piece]:
    """Clauses joined up to the size of a window; a clause longer than that is cut into overlapping windows."""
    start = end = sentence.first
    for _, group in groupby(range(sentence.first, sentence.last), key=lambda i: document.tokens[i].clause):
        clause = list(group)
        if end > start and clause[-1] + 1 - start > WINDOW:
            yield from _windows(start, end)
            start = clause[0]
        end = clause[-1] + 1
    yield from _windows(start, end)


def _windows(first: int, last: int) -> Iterator[Piece]:
    if last - first <= LONG:
        yield Piece(first, last)
        return
    for start in range(first, last - WINDOW + STRIDE, STRIDE):
        yield Piece(start, min(start + WINDOW, last))

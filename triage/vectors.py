"""A question as vectors, each different text encoded once; all stages that compare meanings share them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from triage.facts.symptom_pieces import Piece
from triage.language import Document
from triage.matching.encode import Encodes, Vectors
from triage.matching.masking import mask, masked_spans
from triage.model import Fact, Question

MOST_SENTENCES = 24  # embedded one by one; a longer story is read by its first and last ones


@dataclass(frozen=True)
class QuestionVectors:
    """A question as vectors: its pieces as they stand, and whole and sentences with the vehicle's name masked."""

    masked_whole: Vectors  # (dimension,)
    masked_sentences: Vectors  # (sentences, dimension)
    pieces: Vectors  # (pieces, dimension)
    bounds: tuple[tuple[int, int], ...]  # tokens first..last (half open) of each piece


def question_vectors(
    question: Question, document: Document, facts: Sequence[Fact], cut: Sequence[Piece], encoder: Encodes
) -> QuestionVectors:
    """Encode each different text once."""
    spans = document.sentences
    if len(spans) > MOST_SENTENCES:
        spans = (*spans[: MOST_SENTENCES // 2], *spans[-MOST_SENTENCES // 2 :])
    named = masked_spans(facts)
    masked = [mask(document.text, named, span) for span in spans]
    told = (
        f"{bare_subject(question.subject)}." if question.subject else "",
        mask(question.text, named),
        question.context,
    )
    whole = " ".join(part for part in told if part)
    parts = [document.words(piece.first, piece.last) for piece in cut]
    texts = list(dict.fromkeys([whole, *masked, *parts]))
    rows = dict(zip(texts, encoder.encode(texts), strict=True))
    return QuestionVectors(
        rows[whole],
        _stack([rows[text] for text in masked], encoder),
        _stack([rows[text] for text in parts], encoder),
        tuple((piece.first, piece.last) for piece in cut),
    )


def _stack(rows: Sequence[Vectors], encoder: Encodes) -> Vectors:
    return np.stack(rows) if rows else np.zeros((0, encoder.dimension), np.float32)


def bare_subject(subject: str) -> str:
    """The subject without reply and forward marks."""
    return re.sub(r"^(?:\s*(?:re|fw|fwd|aw|wg)\s*:)+\s*", "", subject, flags=re.IGNORECASE)

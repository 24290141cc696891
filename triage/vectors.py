"""A question as vectors, each different text encoded once; all stages that compare meanings share them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from triage.facts.intent_meaning import asking_sentence
from triage.facts.symptom_pieces import Piece
from triage.language import Document
from triage.matching.encode import Encodes, Vectors
from triage.matching.masking import mask, masked_spans
from triage.model import Fact, Question


@dataclass(frozen=True)
class QuestionVectors:
    """A question as vectors: its pieces as they stand; as a whole and what it asks with the vehicle's name masked."""

    text: str  # the whole, masked
    masked_whole: Vectors  # (dimension,)
    masked_asking: Vectors  # (dimension,): of the sentence that asks; of the whole where there is no sentence
    pieces: Vectors  # (pieces, dimension)
    bounds: tuple[tuple[int, int], ...]  # tokens first..last (half open) of each piece


def question_vectors(
    question: Question, document: Document, facts: Sequence[Fact], cut: Sequence[Piece], encoder: Encodes
) -> QuestionVectors:
    """Encode each different text once."""
    named = masked_spans(facts)
    told = (
        f"{bare_subject(question.subject)}." if question.subject else "",
        mask(question.text, named),
        question.context,
    )
    whole = " ".join(part for part in told if part)
    asking = mask(document.text, named, document.sentences[asking_sentence(document)]) if document.sentences else whole
    parts = [document.words(piece.first, piece.last) for piece in cut]
    texts = list(dict.fromkeys([whole, asking, *parts]))
    rows = dict(zip(texts, encoder.encode(texts), strict=True))
    return QuestionVectors(
        whole,
        rows[whole],
        rows[asking],
        _stack([rows[text] for text in parts], encoder),
        tuple((piece.first, piece.last) for piece in cut),
    )


def _stack(rows: Sequence[Vectors], encoder: Encodes) -> Vectors:
    return np.stack(rows) if rows else np.zeros((0, encoder.dimension), np.float32)


def bare_subject(subject: str) -> str:
    """The subject without reply and forward marks."""
    return re.sub(r"^(?:\s*(?:re|fw|fwd|aw|wg)\s*:)+\s*", "", subject, flags=re.IGNORECASE)

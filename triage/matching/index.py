"""The answer base made ready for ranking: passages as vectors, words, scopes, symptoms."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from triage.matching.encode import Encodes, Vectors
from triage.matching.fit import scope_values
from triage.matching.lexical import LexicalIndex
from triage.model import FactValue
from triage.pack import applies
from triage.pack.schema import Answer, Vehicle

MAX_PASSAGES = 12  # paragraphs and bullets of the body taken beside title, question and variants
SHORTEST = 25  # characters of a passage worth a vector


@dataclass(frozen=True, slots=True)
class Told:
    """What an answer is read to tell of: symptoms and intents of its questions, facts its text branches on."""

    symptoms: frozenset[str]
    intents: frozenset[str]
    branches: frozenset[str]
    wordings: tuple[str, ...]  # title, question and variants with the vehicle's name masked


@dataclass(frozen=True)
class AnswerIndex:
    """Answers in pack order; `vectors[i]` belongs to answer number `owner[i]`."""

    answers: tuple[Answer, ...]
    vectors: Vectors
    owner: np.ndarray
    is_question: np.ndarray  # title, question and variants, not body passages
    lexical: LexicalIndex
    scopes: tuple[Mapping[str, tuple[FactValue, ...]], ...]
    symptoms: tuple[frozenset[str], ...]
    intents: tuple[frozenset[str], ...]
    branches: tuple[frozenset[str], ...]
    narrow: tuple[float, ...]  # bits: how small a share of the catalogue each answer is for
    tag: str

    def __len__(self) -> int:
        return len(self.answers)


def passages(answer: Answer, wordings: Sequence[str]) -> tuple[tuple[str, bool], ...]:
    """Texts that stand for an answer, each with whether it is a question wording; bullets of the body stand alone."""
    parts = re.split(r"\n\s*\n|\n(?=\s*(?:[-*+]|\d+[.)])\s)", answer.text)
    body = [text for text in (re.sub(r"\s+", " ", part).strip(" -*+") for part in parts) if len(text) > SHORTEST]
    return tuple((text, True) for text in wordings) + tuple((text, False) for text in body[:MAX_PASSAGES])


def build_index(
    answers: Sequence[Answer], vehicles: Sequence[Vehicle], encoder: Encodes, told: Sequence[Told]
) -> AnswerIndex:
    """Index the answers; `told` holds what each answer is read to tell of."""
    pairs = list(zip(answers, told, strict=True))
    rows = [
        (number, text, wording)
        for number, (answer, item) in enumerate(pairs)
        for text, wording in passages(answer, item.wordings)
    ]
    return AnswerIndex(
        answers=tuple(answers),
        vectors=encoder.encode([text for _, text, _ in rows]),
        owner=np.array([number for number, _, _ in rows], dtype=np.int64),
        is_question=np.array([wording for _, _, wording in rows], dtype=bool),
        lexical=LexicalIndex(
            (item.wordings[0], " ".join([*item.wordings[1:], *answer.tags]), answer.text) for answer, item in pairs
        ),
        scopes=tuple(scope_values(answer) for answer in answers),
        symptoms=tuple(item.symptoms for item in told),
        intents=tuple(item.intents for item in told),
        branches=tuple(item.branches for item in told),
        narrow=tuple(narrowness(answer, vehicles) for answer in answers),
        tag=encoder.tag,
    )


def narrowness(answer: Answer, vehicles: Sequence[Vehicle]) -> float:
    """Bits of surprise that a vehicle of the catalogue is among those an answer is for: 0 for an answer for all.

    An answer written for few vehicles is likelier when the asker has one of them: P(vehicle | answer) is larger.
    """
    count = sum(applies(answer.applies_to, vehicle) for vehicle in vehicles)
    return math.log2(len(vehicles) / count) if count else 0.0

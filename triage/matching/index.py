"""The answer base made ready for ranking: passages as vectors, words, scopes, symptoms."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from triage.matching.encode import Encodes, Vectors
from triage.matching.fit import scope_values
from triage.matching.lexical import LexicalIndex
from triage.model import FactValue
from triage.pack.schema import Answer

MAX_PASSAGES = 4  # paragraphs of the body taken beside title, question and variants


@dataclass(frozen=True, slots=True)
class Told:
    """What an answer is read to tell of: symptoms and intents of its questions, facts its text branches on."""

    symptoms: frozenset[str]
    intents: frozenset[str]
    branches: frozenset[str]


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
    tag: str

    def __len__(self) -> int:
        return len(self.answers)


def passages(answer: Answer) -> tuple[tuple[str, bool], ...]:
    """Texts that stand for an answer, each with whether it is a question wording."""
    wordings = [f"{answer.title}. {answer.question}", answer.question, *answer.variants]
    paragraphs = [re.sub(r"\s+", " ", part).strip() for part in re.split(r"\n\s*\n", answer.text)]
    body = [part for part in paragraphs if len(part) > 40][:MAX_PASSAGES]
    return tuple((text, True) for text in wordings) + tuple((text, False) for text in body)


def build_index(answers: Sequence[Answer], encoder: Encodes, told: Sequence[Told]) -> AnswerIndex:
    """Index the answers; `told` holds what each answer is read to tell of."""
    rows = [(number, text, wording) for number, answer in enumerate(answers) for text, wording in passages(answer)]
    return AnswerIndex(
        answers=tuple(answers),
        vectors=encoder.encode([text for _, text, _ in rows]),
        owner=np.array([number for number, _, _ in rows], dtype=np.int64),
        is_question=np.array([wording for _, _, wording in rows], dtype=bool),
        lexical=LexicalIndex((a.title, " ".join([a.question, *a.variants, *a.tags]), a.text) for a in answers),
        scopes=tuple(scope_values(answer) for answer in answers),
        symptoms=tuple(item.symptoms for item in told),
        intents=tuple(item.intents for item in told),
        branches=tuple(item.branches for item in told),
        tag=encoder.tag,
    )

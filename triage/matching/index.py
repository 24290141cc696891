"""The answer base made ready for ranking: passages as vectors, words, scopes, and what each answer tells of."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import IntEnum
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from triage.matching.encode import Encodes, Vectors
from triage.matching.fit import Listed, scope_values
from triage.matching.grams import Grams
from triage.matching.lexical import LexicalIndex
from triage.matching.nearest import Nearest
from triage.model import FactValue
from triage.pack.schema import Answer, Vehicle

MAX_PASSAGES = 12  # paragraphs and bullets of the body taken beside title, question and variants
SHORTEST = 25  # characters of a passage worth a vector
LONGEST = 1200  # characters of an answer read as one text; the encoder takes about as many
NEAREST = 200  # passages by meaning and answers by words that are looked at in a large base
SMALL = 2 * NEAREST  # answers; of no more than these, all are looked at
SAMPLE = 500  # answers that stand for a large base
Integers = NDArray[np.int64]
Row = tuple[str, str, str]  # title, questions with tags, text


class Part(IntEnum):
    """What a vector stands for."""

    WORDING = 0  # title and question, question, variants
    TITLE = 1
    WHOLE = 2  # title, question and text together
    BODY = 3  # a paragraph or bullet of the text


@dataclass(frozen=True, slots=True)
class Told:
    """What an answer is read to tell of: symptoms, intents and dangers of its questions, facts its text branches on."""

    symptoms: frozenset[str]
    intents: frozenset[str]
    branches: frozenset[str]
    wordings: tuple[str, ...]  # title and question, question and variants with the vehicle's name masked
    parts: frozenset[str] = frozenset()  # parts its text names
    dangers: frozenset[str] = frozenset()  # hazards its question reports as happening
    profile: Mapping[int, float] = field(default_factory=dict)  # symptom number -> how plainly it tells of it
    perils: Mapping[int, float] = field(default_factory=dict)  # hazard number -> how like it its question sounds
    wants: tuple[float, ...] = ()  # P(intent) of its question


@dataclass(frozen=True)
class AnswerIndex:
    """Answers in pack order; `vectors[i]` belongs to answer number `owner[i]` and stands for its `part[i]`."""

    answers: tuple[Answer, ...]
    vectors: Vectors
    owner: Integers
    part: Integers
    lexical: LexicalIndex
    scopes: tuple[Mapping[str, tuple[FactValue, ...]], ...]
    told: tuple[Told, ...]
    profiles: Vectors  # (answers, symptoms)
    perils: Vectors  # (answers, hazards)
    wants: Vectors  # (answers, intents)
    rarity: Mapping[str, float]  # part -> how few answers name it
    listed: Listed
    tag: str
    nearest: Nearest | None = None  # for a large base: finds the passages worth a look

    def __len__(self) -> int:
        return len(self.answers)

    @cached_property
    def numbers(self) -> Mapping[str, int]:
        """The number of each answer, by its id."""
        return {answer.id: number for number, answer in enumerate(self.answers)}

    @cached_property
    def ranges(self) -> tuple[tuple[Mapping[str, tuple[FactValue, ...]], ...], Integers]:
        """The different scopes, and beside each answer the place of its own among them: most answers share one."""
        places: dict[str, int] = {}
        own = np.array([places.setdefault(repr(scope), len(places)) for scope in self.scopes], np.int64)
        firsts = np.unique(own, return_index=True)[1]
        return tuple(self.scopes[first] for first in firsts), own

    @cached_property
    def needs(self) -> tuple[frozenset[str], ...]:
        """Facts each answer turns on."""
        return tuple(frozenset(answer.needs) for answer in self.answers)

    @cached_property
    def symptoms(self) -> tuple[frozenset[str], ...]:
        """Symptoms each answer is about."""
        return tuple(item.symptoms for item in self.told)

    @cached_property
    def branches(self) -> tuple[frozenset[str], ...]:
        """Facts each answer's text branches on."""
        return tuple(item.branches for item in self.told)

    @cached_property
    def grams(self) -> Grams:
        """The answers' spelling, counted when first asked for."""
        return Grams(self._text, self.sample())

    def _text(self, number: int) -> str:
        answer = self.answers[number]
        return f"{answer.title}. {' '.join(self.told[number].wordings)} {answer.text}"

    def whole(self, numbers: Sequence[int]) -> Vectors:
        """The vector of each of these answers as one text, (numbers, dimension)."""
        return self.vectors[self._wholes[list(numbers)]]

    @cached_property
    def _wholes(self) -> Integers:
        return np.flatnonzero(self.part == Part.WHOLE)  # one an answer, in their order

    @cached_property
    def _starts(self) -> Integers:
        """First row of each answer, and one past the last."""
        return np.searchsorted(self.owner, np.arange(len(self) + 1))

    def rows_of(self, numbers: Integers) -> tuple[Integers, Integers]:
        """Rows of these answers, and beside each the place of its answer among `numbers`."""
        firsts, ends = self._starts[numbers], self._starts[numbers + 1]
        counts = ends - firsts
        places = np.repeat(np.arange(len(numbers)), counts)
        within = np.arange(len(places)) - np.repeat(np.cumsum(counts) - counts, counts)
        return np.repeat(firsts, counts) + within, places

    def sample(self) -> Integers:
        """Numbers of answers from all over the base, to tell what is rare from what is usual."""
        return np.arange(0, len(self), max(1, len(self) // SAMPLE))

    @cached_property
    def sampled(self) -> tuple[Vectors, Integers]:
        """The vectors of the sample, and beside each the place of its answer in the sample."""
        rows, places = self.rows_of(self.sample())
        return self.vectors[rows], places

    @property
    def is_small(self) -> bool:
        """Every answer is worth a look."""
        return self.nearest is None and len(self) <= SMALL

    def close_to(self, vectors: Vectors, count: int) -> Integers:
        """Numbers of the answers that own the `count` passages nearest to any of these vectors, (vectors, dimension).

        For a base that is not small: each of its answers has a passage or more.
        """
        if self.nearest is not None:
            rows = np.concatenate([self.nearest.rows(vector, count) for vector in vectors])
        else:
            rows = np.argpartition(vectors @ self.vectors.T, -count, axis=1)[:, -count:].ravel()
        return np.unique(self.owner[rows])

    def candidates(self, whole: Vectors, bm25: NDArray[np.float64]) -> Integers:
        """Numbers of the answers worth ranking: all of a small base, else the nearest by meaning and by words."""
        if self.is_small:
            return np.arange(len(self))
        near = self.close_to(whole[None, :], NEAREST)
        top = np.argpartition(bm25, -NEAREST)[-NEAREST:] if len(bm25) > NEAREST else np.arange(len(bm25))
        return np.unique(np.concatenate([near, top[bm25[top] > 0]]))


def passages(answer: Answer, wordings: Sequence[str]) -> Iterator[tuple[str, Part]]:
    """Texts that stand for an answer; bullets of the body stand alone."""
    yield from ((text, Part.WORDING) for text in wordings)
    yield answer.title, Part.TITLE
    yield f"{answer.title}. {answer.question} {answer.text}"[:LONGEST], Part.WHOLE
    parts = re.split(r"\n\s*\n|\n(?=\s*(?:[-*+]|\d+[.)])\s)", answer.text)
    body = [text for text in (re.sub(r"\s+", " ", part).strip(" -*+") for part in parts) if len(text) > SHORTEST]
    yield from ((text, Part.BODY) for text in body[:MAX_PASSAGES])


class Indexes:
    """Where the word index and the neighbour graph come from: made in memory, unless a subclass keeps them."""

    def words(self, rows: Iterable[Row], passages: int) -> LexicalIndex:
        """The word index over an answer's words, for a base of so many passages."""
        return LexicalIndex(rows)

    def nearest(self, vectors: Vectors) -> Nearest | None:
        """The graph over the passages; None for a base that needs none."""
        return Nearest.over(vectors)


def build_index(
    answers: Sequence[Answer],
    vehicles: Sequence[Vehicle],
    encoder: Encodes,
    told: Sequence[Told],
    indexes: Indexes | None = None,
) -> AnswerIndex:
    """Index the answers; `told` holds what each answer is read to tell of."""
    indexes = indexes or Indexes()
    pairs = list(zip(answers, told, strict=True))
    rows = [
        (number, text, part)
        for number, (answer, item) in enumerate(pairs)
        for text, part in passages(answer, item.wordings)
    ]
    vectors = encoder.encode([text for _, text, _ in rows])
    return AnswerIndex(
        answers=tuple(answers),
        vectors=vectors,
        owner=np.array([number for number, _, _ in rows], dtype=np.int64),
        part=np.array([part for _, _, part in rows], dtype=np.int64),
        lexical=indexes.words((words_of(answer, item) for answer, item in pairs), len(rows)),
        scopes=tuple(scope_values(answer) for answer in answers),
        told=tuple(told),
        profiles=_profiles([item.profile for item in told]),
        perils=_profiles([item.perils for item in told]),
        wants=_profiles([dict(enumerate(item.wants)) for item in told]),
        rarity=_rarity(told),
        listed=Listed.of(vehicles),
        tag=encoder.tag,
        nearest=indexes.nearest(vectors),
    )


def words_of(answer: Answer, told: Told) -> Row:
    """Title, questions with tags, and text, as the word index takes them."""
    return told.wordings[0], " ".join([*told.wordings[1:], *answer.tags]), answer.text


def _profiles(told: Sequence[Mapping[int, float]]) -> Vectors:
    """One row an answer; a number nobody told is 0."""
    width = 1 + max((number for item in told for number in item), default=-1)
    profiles = np.zeros((len(told), width), np.float32)
    for row, item in zip(profiles, told, strict=True):
        row[list(item)] = list(item.values())
    return profiles


def _rarity(told: Sequence[Told]) -> dict[str, float]:
    """ln of how few answers name a part, as words are weighed."""
    counts = Counter(part for item in told for part in item.parts)
    return {part: math.log((len(told) + 1) / (count + 0.5)) for part, count in counts.items()}

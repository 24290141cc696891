"""Answer bases of any size, put together from the sentences of real ones, with vectors that need no encoding anew."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from random import Random

import numpy as np

from eval.benchmark.material_files import Entry
from triage.matching.encode import Encodes, Vectors
from triage.matching.index import Told
from triage.pack.schema import Answer
from triage.pipeline import Stages
from triage.reply.sentences import blocks, sentences

BULLETS = 2  # sentences of each made answer
VECTORS = 4 + BULLETS  # of each: two wordings, title, whole, and each sentence


@dataclass(frozen=True)
class Pool:
    """Sentences and titles to make answers of."""

    answers: tuple[Answer, ...]
    told: tuple[Told, ...]
    sentences: tuple[str, ...]

    @classmethod
    def of(cls, stages: Stages) -> Pool:
        """From a shop's own answers."""
        answers = stages.pack.answers
        texts = [text for answer in answers for block in blocks(answer.text) for text in sentences(block.text)]
        return cls(answers, stages.index.told, tuple(dict.fromkeys(texts)))

    def made(self, count: int) -> Iterator[tuple[Answer, Told]]:
        """So many answers, the shop's own first; the others mix title, question and sentences; always the same."""
        chance = Random(0)
        for number in range(count):
            place = number % len(self.answers)
            if number < len(self.answers):
                yield self.answers[place], self.told[place]
            else:
                yield self._mixed(number, place, chance)

    def _mixed(self, number: int, place: int, chance: Random) -> tuple[Answer, Told]:
        one, other = self.answers[place], chance.choice(self.answers)
        text = "\n".join(f"- {chance.choice(self.sentences)}" for _ in range(BULLETS))
        title = f"{other.title}, {number}"
        answer = replace(one, id=f"made-{number}", title=title, text=text, variants=[], symptoms=[], intents=[])
        wordings = (f"{title}. {one.question}", one.question)
        return answer, replace(self.told[place], wordings=wordings)


class Known:
    """An encoder for made answers: parts that are known have their vector, a mixed text the mean of two known ones."""

    def __init__(self, encoder: Encodes, pool: Pool) -> None:
        self.tag, self.dimension = encoder.tag, encoder.dimension
        texts = [*pool.sentences, *(a.title for a in pool.answers), *(a.question for a in pool.answers)]
        self._rows = encoder.encode(texts)
        self._places = {text: place for place, text in enumerate(texts)}
        self._chance = np.random.default_rng(0)

    def encode(self, texts: Sequence[str]) -> Vectors:
        """Unit vectors, (texts, dimension)."""
        known = np.array([self._places.get(text, -1) for text in texts], np.int64)
        found = self._rows[known]
        mixed = np.flatnonzero(known < 0)
        for begin in range(0, len(mixed), 10_000):  # in pieces: a million rows at once would double the memory
            rows = mixed[begin : begin + 10_000]
            two = self._chance.integers(0, len(self._rows), (2, len(rows)))
            mean = self._rows[two[0]] + self._rows[two[1]]
            found[rows] = mean / np.linalg.norm(mean, axis=1, keepdims=True)
        return found


def entries(made: Iterator[tuple[Answer, Told]]) -> list[Entry]:
    """Made answers as plain texts."""
    return [Entry(a.id, f"{a.title}. {a.question}", f"{a.title} {a.question} {a.text}") for a, _ in made]

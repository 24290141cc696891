"""One labelled question with what was made of it, and what is written down when that is wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from eval.labels import Labelled
from eval.split import Part, part_of
from triage.model import Reading

PROGRAM = "program"


@dataclass(frozen=True, slots=True)
class Ranking:
    """The first answers of a ranker, best first, and how good it holds the best to be."""

    answers: tuple[str, ...]
    best: float  # a probability for the program, a score of its own kind for the others


@dataclass(frozen=True, slots=True)
class Case:
    """A question of a shop, its label, the program's reading and what simple rankers say."""

    shop: str
    gold: Labelled
    reading: Reading
    others: Mapping[str, Ranking] = field(default_factory=dict)
    models: frozenset[str] = frozenset()  # fuller catalogue names of the labelled model
    plain_symptoms: bool = False  # symptoms are labelled in plain words, not by id

    @property
    def part(self) -> Part:
        """Tuning or locked."""
        return part_of(self.gold.id, self.shop)

    def ranking(self, ranker: str = PROGRAM) -> Ranking:
        """What a ranker says; the program's is that of the reading."""
        if ranker != PROGRAM:
            return self.others[ranker]
        matches = self.reading.matches
        best = matches[0].probability if matches else 0.0
        return Ranking(tuple(match.answer for match in matches), best)


@dataclass(frozen=True, slots=True)
class Mistake:
    """One thing read wrongly."""

    kind: str  # "fact missed", "hazard missed", "answer", ...
    expected: object
    got: object

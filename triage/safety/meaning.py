"""Hazards told in words of one's own: each piece of a text (a sentence, or part of a long one) is held to lessons."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from triage.model import Span
from triage.safety.fit import Learnt, Vectors
from triage.safety.standing import Standings
from triage.safety.weigh import Weights, plainness

NOT_AT_ALL = -1.0  # the score of a piece that tells nothing of a hazard
SHOWN = 80  # characters of a piece shown in the basis
Bounds = Sequence[tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Likeness:
    """The piece of a text that tells a hazard most plainly."""

    odds: float  # log-odds by this piece alone
    first: int  # tokens first..last (half open)
    last: int

    def span(self, standings: Standings) -> Span:
        """Where it stands."""
        return standings.document.span(self.first, self.last)

    def basis(self, standings: Standings) -> str:
        """What to show of it."""
        span = self.span(standings)
        text = " ".join(standings.document.text[span.start : span.end].split())[:SHOWN]
        return f"told like it: '{text}'"


@dataclass(frozen=True)
class Meant:
    """What the pieces of a text say together."""

    likeness: Mapping[str, Likeness]
    profile: Vectors  # (hazards,): how like each hazard the likest piece is, 0 for not at all, about 2 for plainly


class HazardMeaning:
    """The fitted machine."""

    def __init__(self, learnt: Learnt, weights: Weights) -> None:
        self.learnt = learnt
        self._weights = weights

    @property
    def hazards(self) -> frozenset[str]:
        """Hazards it has lessons for."""
        return frozenset(self.learnt.hazards)

    def scores(self, standings: Standings, bounds: Bounds, vectors: Vectors) -> Vectors:
        """How like each hazard each piece is, shape (pieces, hazards). `bounds` are tokens first..last (half open)."""
        tokens = standings.document.tokens
        stems = [[token.stem for token in tokens[first:last] if token.is_word] for first, last in bounds]
        return self.learnt.scores(vectors, stems)

    def hear(
        self, standings: Standings, bounds: Bounds, vectors: Vectors, denied: frozenset[tuple[str, int]] = frozenset()
    ) -> Meant:
        """What all pieces say together; what is denied, mended or another's is passed over.

        `denied` are hazards with the number of the sentence that denies them in so many words.
        """
        tokens = standings.document.tokens
        live = [row for row, (first, _) in enumerate(bounds) if not standings.calm(tokens[first].sentence)]
        if not live or not self.learnt.hazards:
            return Meant({}, np.zeros(len(self.learnt.hazards), np.float32))
        kept = [bounds[row] for row in live]
        scores = self.scores(standings, kept, vectors[live])
        refused = self._refused([tokens[first].sentence for first, _ in kept], denied)
        scores[refused] = NOT_AT_ALL
        odds = plainness(scores, [last - first for first, last in kept], self._weights)
        odds[refused] = -np.inf
        best = odds.argmax(axis=0)
        likeness = {
            hazard: Likeness(float(odds[row, column]), *kept[row])
            for column, (hazard, row) in enumerate(zip(self.learnt.hazards, best, strict=True))
        }
        return Meant(likeness, np.clip(scores.max(axis=0) + 1.0, 0.0, None))

    def _refused(self, sentences: Sequence[int], denied: frozenset[tuple[str, int]]) -> NDArray[np.bool_]:
        """Which piece must not tell which hazard, (pieces, hazards)."""
        return np.array([[(name, number) in denied for name in self.learnt.hazards] for number in sentences], bool)

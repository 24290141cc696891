"""Hazards told in words of one's own: each piece of a text (a sentence, or part of a long one) is held to lessons."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from triage.model import Span
from triage.safety.fit import Learnt, Vectors
from triage.safety.seen import How, Seen
from triage.safety.standing import Standings

THRESHOLD = 0.0  # score from which a piece is noted; picked on the tuning split
SURE = 0.3  # score from which it is pressing; on the tuning split no danger is lost by it
SHOWN = 80  # characters of a piece shown in the basis


class HazardMeaning:
    """The fitted machine."""

    def __init__(self, learnt: Learnt, deadly_plans: frozenset[str]) -> None:
        self._learnt = learnt
        self._deadly = deadly_plans

    def find(self, standings: Standings, pieces: Sequence[tuple[int, int]], vectors: Vectors) -> Iterator[Seen]:
        """Each hazard at its plainest piece. `pieces` are tokens first..last (half open), with a vector each."""
        tokens = standings.document.tokens
        live = [
            row
            for row, (first, last) in enumerate(pieces)
            if not standings.calm(tokens[first].sentence) and not standings.denies(first, last)
        ]
        if not live or not self._learnt.hazards:
            return
        scores = self._learnt.scores(vectors[live])
        for column, hazard in enumerate(self._learnt.hazards):
            row = int(scores[:, column].argmax())
            value = float(scores[row, column])
            if value >= THRESHOLD:
                yield self._seen(hazard, *pieces[live[row]], value, standings)

    def _seen(self, hazard: str, first: int, last: int, value: float, standings: Standings) -> Seen:
        document = standings.document
        asked = standings.asks(first) or standings.planned(last - 1)
        how = How.PLANNED if asked and hazard not in self._deadly else How.REPORTED
        if value < SURE:
            how = How.HINTED
        span: Span = document.span(first, last)
        text = " ".join(document.text[span.start : span.end].split())[:SHOWN]
        return Seen(hazard, how, f"told like it ({value:.2f}): '{text}'", span)

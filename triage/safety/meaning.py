"""Hazards told in words of one's own: each sentence, pair of sentences and long sentence's part is held to lessons."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

import numpy as np

from triage.language import Document
from triage.language.tokens import Token
from triage.model import Span
from triage.safety.fit import Learnt, Vectors
from triage.safety.seen import How, Seen
from triage.safety.standing import Standings

THRESHOLD = 0.2  # score from which a stretch is taken for a danger
PAIR_COST = 0.1  # two sentences together must be plainer
LONG = 10  # words from which a sentence is also read in parts
PART = 5  # fewest words of a part, unless its sentence ends
MOST_WORDS = 20  # words of a part where the sentence has no marks
MOST_PARTS = 12  # parts of one text that are read on their own
SHOWN = 80  # characters of a stretch shown in the basis

Encode = Callable[[Sequence[str]], Vectors]


class HazardMeaning:
    """The fitted machine with the encoder that its lessons were read by."""

    def __init__(self, learnt: Learnt, encode: Encode, deadly_plans: frozenset[str]) -> None:
        self._learnt = learnt
        self._encode = encode
        self._deadly = deadly_plans

    def find(self, standings: Standings, sentences: Vectors) -> Iterator[Seen]:
        """Each hazard at its plainest stretch. `sentences` are the vectors of the first sentences, one row each."""
        spans, vectors, cost = self._stretches(standings, sentences)
        if not spans or not self._learnt.hazards:
            return
        scores = self._learnt.scores(vectors) - cost[:, None]
        for column, hazard in enumerate(self._learnt.hazards):
            row = int(scores[:, column].argmax())
            value = float(scores[row, column])
            if value >= THRESHOLD:
                yield self._seen(hazard, spans[row], value, standings)

    def _stretches(self, standings: Standings, sentences: Vectors) -> tuple[list[Span], Vectors, Vectors]:
        document = standings.document
        numbered = list(zip(_numbers(document), document.sentences, sentences, strict=False))
        live = [(number, span, vector) for number, span, vector in numbered if not standings.calm(number)]
        parts = list(_parts(document, {number for number, _, _ in live}))[:MOST_PARTS]
        pairs = [(a, b) for a, b in pairwise(live) if b[0] == a[0] + 1]
        spans = [span for _, span, _ in live] + parts + [Span(a[1].start, b[1].end) for a, b in pairs]
        rows = [vector for _, _, vector in live]
        rows += list(self._encode([document.text[part.start : part.end] for part in parts])) if parts else []
        rows += [_together(a[2], b[2]) for a, b in pairs]
        cost = np.array([0.0] * (len(live) + len(parts)) + [PAIR_COST] * len(pairs), np.float32)
        return spans, np.stack(rows) if rows else np.zeros((0, 0), np.float32), cost

    def _seen(self, hazard: str, span: Span, value: float, standings: Standings) -> Seen:
        document = standings.document
        inside = [i for i, token in enumerate(document.tokens) if span.start <= token.start < span.end]
        asked = standings.asks(inside[0]) or standings.planned(inside[-1])
        planned = asked and hazard not in self._deadly
        text = " ".join(document.text[span.start : span.end].split())[:SHOWN]
        return Seen(hazard, How.PLANNED if planned else How.REPORTED, f"told like it ({value:.2f}): '{text}'", span)


def _together(a: Vectors, b: Vectors) -> Vectors:
    """What two sentences mean together: their mean, a unit vector again."""
    both: Vectors = a + b
    length = float(np.linalg.norm(both))
    return both / length if length else both


def _numbers(document: Document) -> list[int]:
    return list(dict.fromkeys(token.sentence for token in document.tokens))


def _parts(document: Document, live: set[int]) -> Iterator[Span]:
    """Clauses of long sentences, short ones joined; stretches of words where a sentence has no marks."""
    by_sentence: dict[int, list[Token]] = {}
    for token in document.tokens:
        if token.sentence in live:
            by_sentence.setdefault(token.sentence, []).append(token)
    for tokens in by_sentence.values():
        if sum(token.is_word for token in tokens) >= LONG:
            for part in _clauses(tokens):
                yield Span(part[0].start, part[-1].end)


def _clauses(tokens: Sequence[Token]) -> Iterator[list[Token]]:
    part: list[Token] = []
    for token in tokens:
        words = sum(other.is_word for other in part)
        if part and words >= PART and (token.clause != part[-1].clause or words >= MOST_WORDS):
            yield part
            part = []
        part.append(token)
    if part and len(part) < len(tokens):
        yield part

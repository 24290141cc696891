"""Symptom facts from words and meaning together, once the vehicle is known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from triage.facts.candidate import Candidate
from triage.facts.condition import condition_near
from triage.facts.merge import to_facts
from triage.facts.symptom_meaning import SymptomMeaning, Vectors
from triage.facts.symptom_pieces import Piece
from triage.language import Document
from triage.model import Fact, Standing
from triage.pack.schema import Condition, Symptom

# set on the tuning part of the labelled questions
TOLD = 0.24  # score of a symptom told without its usual words
BORNE_OUT = 0.05  # score that bears out the pack's own phrases
RIVAL = 0.3  # share of the next best score that counts against the best
FEW = 5  # tokens; a shorter piece names things more often than it tells of them
FEW_WEIGHT = 0.6


@dataclass(frozen=True, slots=True)
class Told:
    """A symptom told by a piece of the text."""

    symptom: str
    piece: Piece
    score: float


class SymptomReader:
    """Joins the facts read from words with what the pieces mean."""

    def __init__(self, symptoms: Mapping[str, Symptom], meaning: SymptomMeaning) -> None:
        self._symptoms = symptoms
        self._meaning = meaning

    def read(
        self, facts: Sequence[Fact], document: Document, pieces: Sequence[Piece], vectors: Vectors
    ) -> tuple[Fact, ...]:
        """The facts, with symptoms told by meaning added and those of the words that nothing bears out left out.

        `vectors` holds one unit vector a piece. Denied symptoms stay as the words tell them.
        """
        known = _known(facts)
        scores = self._scores(document, pieces, vectors)
        kept = [fact for fact in facts if not self._is_chance(fact, scores, known)]
        spoken = {fact.value for fact in facts if fact.name == "symptom" and fact in kept}
        found = [told for told in self._told(pieces, scores, known) if told.symptom not in spoken]
        added = to_facts((_candidate(told, self._symptoms, document) for told in found), document)
        return (*kept, *added, *self._also((*kept, *added), known))

    def profile(self, document: Document, pieces: Sequence[Piece], vectors: Vectors) -> Vectors:
        """How plainly each symptom is told at its plainest piece, (symptoms,); 0 for not at all."""
        scores = self._scores(document, pieces, vectors)
        plainest: Vectors = np.clip(scores.max(axis=0, initial=0.0), 0.0, None)
        return plainest

    def _scores(self, document: Document, pieces: Sequence[Piece], vectors: Vectors) -> Vectors:
        rows = [self._meaning.scores(document, p.first, p.last, v) for p, v in zip(pieces, vectors, strict=True)]
        if not rows:
            return np.zeros((0, len(self._meaning.ids)), np.float32)
        weights = [FEW_WEIGHT if p.last - p.first < FEW else 1.0 for p in pieces]
        return _against_rivals(np.stack(rows) * np.array(weights, np.float32)[:, None])

    def _is_chance(self, fact: Fact, scores: Vectors, known: Mapping[str, str]) -> bool:
        if fact.name != "symptom" or not fact.standing.holds or fact.message:
            return False
        if fact.value not in self._meaning.ids or not len(scores):
            return False
        best = float(scores[:, self._meaning.ids.index(str(fact.value))].max())
        return best < BORNE_OUT or not self._possible(str(fact.value), known)

    def _told(self, pieces: Sequence[Piece], scores: Vectors, known: Mapping[str, str]) -> Iterator[Told]:
        best: dict[str, Told] = {}
        for piece, row in zip(pieces, scores, strict=True):
            column = int(row.argmax())
            told = Told(self._meaning.ids[column], piece, float(row[column]))
            better = told.symptom not in best or told.score > best[told.symptom].score
            if told.score >= TOLD and better and self._possible(told.symptom, known):
                best[told.symptom] = told
        yield from best.values()

    def _possible(self, symptom: str, known: Mapping[str, str]) -> bool:
        record = self._symptoms[symptom]
        powertrain = known.get("powertrain", record.powertrain)
        return record.powertrain in ("any", powertrain) and _agrees(record.when, known, unknown=True)

    def _also(self, facts: Iterable[Fact], known: Mapping[str, str]) -> Iterator[Fact]:
        """Symptoms that go with one that holds: a charger that does not start does not charge either."""
        held = {str(f.value): f for f in facts if f.name == "symptom" and f.standing.holds}
        seen = {str(f.value) for f in facts if f.name == "symptom"}
        for name, fact in held.items():
            for other in self._symptoms[name].also if name in self._symptoms else ():
                if other not in seen and _agrees(self._symptoms[other].when, known, unknown=False):
                    seen.add(other)
                    basis = f"goes with '{self._symptoms[name].label}'"
                    yield Fact("symptom", other, standing=fact.standing, span=fact.span, basis=basis)


def _against_rivals(scores: Vectors) -> Vectors:
    """Each score less a share of the best other score of its piece: what fits two symptoms tells neither surely."""
    second, first = np.sort(scores, axis=1)[:, -2:].T[:, :, None]
    result: Vectors = scores - RIVAL * np.where(scores >= first, second, first)
    return result


def _known(facts: Iterable[Fact]) -> dict[str, str]:
    return {fact.name: str(fact.value) for fact in facts if fact.standing.holds and fact.vehicle == 1}


def _agrees(when: Condition, known: Mapping[str, str], *, unknown: bool) -> bool:
    """Every fact of the condition has one of its values; `unknown` is what a fact nobody told counts as."""
    return all(known[name] in values if name in known else unknown for name, values in when.items())


def _candidate(told: Told, symptoms: Mapping[str, Symptom], document: Document) -> Candidate:
    first, last = told.piece.first, told.piece.last
    basis = f"told like '{symptoms[told.symptom].label}' ({told.score:.2f})"
    standing = None if document.scopes.other(first) else Standing.STATED
    condition = condition_near(document, first, last)
    return Candidate("symptom", told.symptom, first, last, basis=basis, condition=condition, standing=standing)

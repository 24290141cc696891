"""Symptom facts from words and meaning together, once the vehicle is known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from triage.facts.candidate import Candidate
from triage.facts.condition import condition_near
from triage.facts.merge import to_facts
from triage.facts.symptom_features import features
from triage.facts.symptom_listed import Listed
from triage.facts.symptom_meaning import SymptomMeaning, Vectors
from triage.facts.symptom_pieces import Piece
from triage.language import Document
from triage.model import Fact, Standing
from triage.pack.schema import Condition, Symptom

# set on the tuning part of the labelled questions
TOLD = 0.28  # score of a symptom told without its usual words
BORNE_OUT = 0.03  # score that bears out the pack's own phrases
RIVAL = 0.3  # share of the next best score that counts against the best
DOUBT = 0.1  # share, of what all scores together lack of a symptom told for sure, that counts against each
IMPOSSIBLE = -1.0  # score of a symptom the vehicle cannot have
FEW = 5  # tokens; a shorter piece names things more often than it tells of them
FEW_WEIGHT = 0.7


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
        self._listed = Listed(symptoms.values())
        self._last: tuple[Vectors, Vectors] | None = None  # vectors of pieces asked about last, and their scores

    def read(
        self, facts: Sequence[Fact], document: Document, pieces: Sequence[Piece], vectors: Vectors
    ) -> tuple[Fact, ...]:
        """The facts, with symptoms told by meaning added and those of the words that nothing bears out left out.

        `vectors` holds one unit vector a piece. Denied symptoms stay as the words tell them.
        """
        known = _known(facts)
        possible = np.array([self._possible(symptom, known) for symptom in self._meaning.ids], bool)
        scores = self._scores(document, pieces, vectors, possible)
        kept = [fact for fact in facts if not self._is_chance(fact, scores)]
        kept += tuple(self._listed.shown(kept))
        settled = {fact.value for fact in kept if fact.name == "symptom"} | self._listed.settled(kept)
        found = [told for told in self._told(pieces, scores) if told.symptom not in settled]
        added = to_facts((_candidate(told, self._symptoms, document) for told in found), document)
        return (*kept, *added, *self._also((*kept, *added), known))

    def profile(self, document: Document, pieces: Sequence[Piece], vectors: Vectors) -> Vectors:
        """How plainly each symptom is told at its plainest piece, (symptoms,); 0 for not at all."""
        scores = self._scores(document, pieces, vectors, np.ones(len(self._meaning.ids), bool))
        plainest: Vectors = np.clip(scores.max(axis=0, initial=0.0), 0.0, None)
        return plainest

    def _scores(
        self, document: Document, pieces: Sequence[Piece], vectors: Vectors, possible: NDArray[np.bool_]
    ) -> Vectors:
        """One row a piece, one column a symptom: how plainly it is told, less what speaks against it."""
        scores = self._meant(document, pieces, vectors).copy()
        scores -= DOUBT * np.clip(1.0 - scores.sum(axis=1, keepdims=True), 0.0, None)
        scores[:, ~possible] = IMPOSSIBLE
        few = np.array([p.last - p.first < FEW for p in pieces], bool)
        scores[few] *= FEW_WEIGHT
        return _against_rivals(scores)

    def _meant(self, document: Document, pieces: Sequence[Piece], vectors: Vectors) -> Vectors:
        """Worked out once where `read` and `profile` are asked about the same vectors, one after the other."""
        last = self._last
        if last is None or last[0] is not vectors:
            told = [features(document, p.first, p.last) for p in pieces]
            self._last = last = vectors, self._meaning.scores(vectors, told)
        return last[1]

    def _is_chance(self, fact: Fact, scores: Vectors) -> bool:
        by_person = fact.span is None
        if fact.name != "symptom" or not fact.standing.holds or fact.message or by_person:
            return False
        if fact.value not in self._meaning.ids or not len(scores):
            return False
        best = float(scores[:, self._meaning.ids.index(str(fact.value))].max())
        return best < BORNE_OUT

    def _told(self, pieces: Sequence[Piece], scores: Vectors) -> Iterator[Told]:
        best: dict[str, Told] = {}
        for piece, row in zip(pieces, scores, strict=True):
            column = int(row.argmax())
            told = Told(self._meaning.ids[column], piece, float(row[column]))
            better = told.symptom not in best or told.score > best[told.symptom].score
            if told.score >= TOLD and better:
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
    if scores.shape[1] < 2:
        return scores
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

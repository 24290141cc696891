"""Symptoms told in words: the pack's patterns, in order and with small gaps."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from triage.facts.candidate import Candidate, words_basis
from triage.facts.condition import condition_near
from triage.language import Document
from triage.language.phrases import Found, GappedPatterns
from triage.pack.schema import Symptom


class SymptomWords:
    """The pack's symptom patterns, compiled."""

    def __init__(self, symptoms: Iterable[Symptom]) -> None:
        self._patterns: GappedPatterns[str] = GappedPatterns()
        for symptom in symptoms:
            for phrase in symptom.phrases:
                self._patterns.add(phrase, symptom.id)

    def find(self, document: Document) -> Iterator[Candidate]:
        """Candidates named "symptom", one per symptom, at its tightest wording."""
        best: dict[str, Found[str]] = {}
        for found in self._patterns.find(document.tokens, document.forms):
            known = best.get(found.payload)
            if known is None or found.last - found.first < known.last - known.first:
                best[found.payload] = found
        for symptom, found in sorted(best.items(), key=lambda item: item[1].first):
            yield Candidate(
                "symptom",
                symptom,
                found.first,
                found.last,
                basis=words_basis(document, found.first, found.last),
                condition=condition_near(document, found.first, found.last),
            )

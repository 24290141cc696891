"""Find the hazards of a question and of what the reply proposes; never a model's opinion alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from triage.language import Document
from triage.language.phrases import GappedPatterns
from triage.model import Fact, HazardNote, Span
from triage.pack.schema import Hazard

Vectors = NDArray[np.float32]
MEANING_THRESHOLD = 0.62  # cosine to a told example; set for recall on the labelled questions
CALM_MARGIN = 0.02  # a calm look-alike that is nearer by this much wins
MOST_PROPOSED = 3  # notes a draft can carry beside those that were reported


@dataclass(frozen=True, slots=True)
class Proposed:
    """Hazards the reply itself brings in: hazard id -> where it comes from."""

    hazards: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class _Seen:
    hazard: str
    span: Span | None
    basis: str
    reported: bool


class HazardReader:
    """The pack's hazards, compiled: patterns, and examples as vectors."""

    def __init__(self, hazards: Mapping[str, Hazard], encode: Callable[[Sequence[str]], Vectors]) -> None:
        self._hazards = hazards
        self._patterns: GappedPatterns[str] = GappedPatterns()
        for hazard in hazards.values():
            for phrase in hazard.phrases:
                self._patterns.add(phrase, hazard.id)
        told = [(h.id, text) for h in hazards.values() for text in h.examples]
        calm = [text for h in hazards.values() for text in h.calm]
        self._ids = [id for id, _ in told]
        self._told = encode([text for _, text in told])
        self._calm = encode(calm)

    def assess(
        self,
        document: Document,
        sentences: Vectors,
        facts: Mapping[str, Fact],
        proposed: Proposed,
        powertrain: str,
    ) -> tuple[HazardNote, ...]:
        """Safety notes, the most severe first, reported ones before those of the work proposed."""
        seen: dict[str, _Seen] = {}
        for item in (
            *self._in_words(document),
            *self._in_meaning(document, sentences),
            *self._in_facts(facts),
            *_of_proposed(proposed),
        ):
            seen.setdefault(item.hazard, item)
        notes = [self._note(item) for item in seen.values() if self._applies(item, powertrain)]
        return _carried(sorted(notes, key=lambda n: (not n.urgent, n.signal.rank, not n.span, n.hazard)))

    def _applies(self, item: _Seen, powertrain: str) -> bool:
        hazard = self._hazards.get(item.hazard)
        if hazard is None:
            return False
        return item.reported or not powertrain or hazard.powertrain in ("any", powertrain)

    def _in_words(self, document: Document) -> Iterator[_Seen]:
        scopes = document.scopes
        for found in self._patterns.find(document.tokens, document.forms):
            if scopes.denied(found.first, found.last) or scopes.other(found.first):
                continue
            words = document.words(found.first, found.last)
            yield _Seen(found.payload, document.span(found.first, found.last), f"words: '{words}'", True)

    def _in_meaning(self, document: Document, sentences: Vectors) -> Iterator[_Seen]:
        """A sentence that is told like a known example, and is not nearer to a calm one."""
        if not len(self._ids) or not len(sentences):
            return
        likeness = sentences @ self._told.T
        calm = (sentences @ self._calm.T).max(axis=1) if len(self._calm) else np.zeros(len(sentences))
        for number, span in enumerate(document.sentences[: len(sentences)]):
            best = int(likeness[number].argmax())
            value = float(likeness[number, best])
            if value >= MEANING_THRESHOLD and value > float(calm[number]) + CALM_MARGIN:
                text = document.text[span.start : span.end]
                yield _Seen(self._ids[best], span, f"told like a known danger ({value:.2f}): '{text[:80]}'", True)

    def _in_facts(self, facts: Mapping[str, Fact]) -> Iterator[_Seen]:
        for hazard in self._hazards.values():
            for condition in hazard.facts:
                held = [
                    facts[name] for name, values in condition.items() if name in facts and _text(facts[name]) in values
                ]
                if held and len(held) == len(condition):
                    shown = ", ".join(f"{fact.name} {_text(fact)}" for fact in held)
                    yield _Seen(hazard.id, held[0].span, f"facts: {shown}", False)
                    break

    def _note(self, item: _Seen) -> HazardNote:
        hazard = self._hazards[item.hazard]
        return HazardNote(
            hazard.id,
            hazard.signal,
            hazard.note,
            hazard.short,
            hazard.stop and item.reported,
            hazard.urgent and item.reported,
            item.span,
            item.basis,
        )


def _text(fact: Fact) -> str:
    return f"{fact.value:g}" if isinstance(fact.value, int | float) else str(fact.value)


def _of_proposed(proposed: Proposed) -> Iterator[_Seen]:
    for hazard, where in proposed.hazards.items():
        yield _Seen(hazard, None, where, False)


def _carried(notes: Iterable[HazardNote]) -> tuple[HazardNote, ...]:
    """All reported ones, and as many of the proposed as a draft can carry."""
    kept: list[HazardNote] = []
    proposed = 0
    for note in notes:
        if note.span is None:
            proposed += 1
            if proposed > MOST_PROPOSED:
                continue
        kept.append(note)
    return tuple(kept)

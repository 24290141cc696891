"""Find the hazards of a question and of what the reply proposes; never a model's opinion alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from triage.language import Document
from triage.model import Fact, HazardNote, Signal
from triage.pack.schema import Hazard
from triage.safety import conditions
from triage.safety.fit import Learnt, Vectors
from triage.safety.meaning import HazardMeaning
from triage.safety.seen import How, Seen
from triage.safety.standing import Standings
from triage.safety.words import HazardWords

MOST_PROPOSED = 3  # notes a draft can carry beside those of what the asker tells


@dataclass(frozen=True, slots=True)
class Proposed:
    """Hazards the reply itself brings in: hazard id -> where it comes from."""

    hazards: Mapping[str, str]


class HazardReader:
    """The pack's hazards, compiled: phrases, conditions on facts, and what was learnt from told sentences."""

    def __init__(self, hazards: Mapping[str, Hazard], learnt: Learnt) -> None:
        self._hazards = hazards
        self._words = HazardWords(hazards.values())
        deadly = frozenset(hazard.id for hazard in hazards.values() if hazard.deadly_plan)
        self._meaning = HazardMeaning(learnt, deadly)

    def told(
        self, document: Document, pieces: Sequence[tuple[int, int]], vectors: Vectors, facts: Sequence[Fact]
    ) -> tuple[HazardNote, ...]:
        """Notes on what the asker reports or plans, the most severe first.

        `pieces` are tokens first..last (half open), `vectors` theirs, one row each.
        """
        standings = Standings(document)
        seen = (
            *self._words.find(standings),
            *conditions.find(self._hazards.values(), facts),
            *self._meaning.find(standings, pieces, vectors),
        )
        return self._notes(_most_pressing(seen))

    def beside(self, told: Sequence[HazardNote], proposed: Proposed, powertrain: str = "") -> tuple[HazardNote, ...]:
        """The notes on what was told, then at most MOST_PROPOSED of what the reply's own steps bring in."""
        known = {note.hazard for note in told}
        of_reply = (
            Seen(hazard, How.PROPOSED, where)
            for hazard, where in proposed.hazards.items()
            if hazard not in known and self._fits(hazard, powertrain)
        )
        return (*told, *self._notes(of_reply)[:MOST_PROPOSED])

    def _fits(self, hazard: str, powertrain: str) -> bool:
        known = self._hazards.get(hazard)
        return known is not None and (not powertrain or known.powertrain in ("any", powertrain))

    def _notes(self, seen: Iterable[Seen]) -> tuple[HazardNote, ...]:
        notes = [self._note(item) for item in seen]
        return tuple(sorted(notes, key=lambda note: (not note.urgent, note.signal.rank, note.hazard)))

    def _note(self, item: Seen) -> HazardNote:
        hazard = self._hazards[item.hazard]
        if item.how is How.PROPOSED:
            return _at_work(hazard, item)
        pressing = item.how is How.REPORTED
        return HazardNote(
            hazard.id,
            hazard.signal,
            hazard.note,
            hazard.short,
            hazard.stop and pressing,
            hazard.urgent and pressing,
            item.span,
            item.basis,
        )


def _at_work(hazard: Hazard, item: Seen) -> HazardNote:
    """What work could bring is a WARNING at most: DANGER is kept for what will hurt if nothing is done."""
    signal = max(hazard.signal, Signal.WARNING, key=lambda word: word.rank)
    note = hazard.at_work or hazard.note
    return HazardNote(hazard.id, signal, note, hazard.at_work or hazard.short, basis=item.basis)


def _most_pressing(seen: Iterable[Seen]) -> Iterator[Seen]:
    """Each hazard once: reported before planned, and the first sign of equals."""
    best: dict[str, Seen] = {}
    for item in seen:
        if item.hazard not in best or item.how < best[item.hazard].how:
            best[item.hazard] = item
    yield from best.values()

"""Find the hazards of a question, by all their signs together, and of what the reply proposes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from triage.language import Document
from triage.language.tokens import tokenise
from triage.model import Fact, HazardNote, Signal
from triage.pack.schema import Hazard
from triage.safety import conditions
from triage.safety.fit import Learnt, Vectors
from triage.safety.meaning import HazardMeaning, Likeness
from triage.safety.seen import How, Seen
from triage.safety.standing import NOT, Standings
from triage.safety.weigh import Weights
from triage.safety.words import HazardWords

OFTEN = 0.12  # share of its examples with a "not" from which a hazard is told by one
MOST_PROPOSED = 3  # notes a draft can carry beside those of what the asker tells


@dataclass(frozen=True, slots=True)
class Proposed:
    """Hazards the reply itself brings in: hazard id -> where it comes from."""

    hazards: Mapping[str, str]


@dataclass(frozen=True)
class Dangers:
    """What a message tells of danger."""

    notes: tuple[HazardNote, ...]  # the most severe first
    profile: Vectors  # (hazards with lessons,): how like each the likest piece is; see `Meant`


class HazardReader:
    """The pack's hazards, compiled: phrases, conditions on facts, and what was learnt from told sentences."""

    def __init__(self, hazards: Mapping[str, Hazard], learnt: Learnt, weights: Weights | None = None) -> None:
        self._hazards = hazards
        self._words = HazardWords(hazards.values())
        self._weights = weights or Weights.load()
        self.meaning = HazardMeaning(learnt, self._weights)
        self._told_by_not = frozenset(hazard.id for hazard in hazards.values() if _says_not(hazard))

    def told(
        self, document: Document, pieces: Sequence[tuple[int, int]], vectors: Vectors, facts: Sequence[Fact]
    ) -> Dangers:
        """What the asker reports or plans.

        `pieces` are tokens first..last (half open), `vectors` theirs, one row each.
        """
        standings = Standings(document)
        denied = self._words.denied(standings)
        meant = self.meaning.hear(standings, pieces, vectors, denied)
        signs = self.signs(standings, facts)
        seen = (
            self._seen(hazard, signs.get(hazard, {}), meant.likeness.get(hazard), standings) for hazard in self._hazards
        )
        return Dangers(self._notes(item for item in seen if item), meant.profile)

    def signs(self, standings: Standings, facts: Sequence[Fact]) -> dict[str, dict[str, Seen]]:
        """Phrases and conditions found, the first of each kind: hazard -> name of its weight -> sign."""
        result: dict[str, dict[str, Seen]] = {}
        for item in self._words.find(standings):
            kind = "reported" if item.how is How.REPORTED else "planned"
            result.setdefault(item.hazard, {}).setdefault(kind, item)
        denied = self._words.denied(standings)
        for item in conditions.find(self._hazards.values(), facts):
            if item.span and (item.hazard, standings.sentence(item.span.start)) in denied:
                continue
            kind = "trouble" if item.how is How.REPORTED else "work"
            result.setdefault(item.hazard, {}).setdefault(kind, item)
        return result

    def _seen(
        self, hazard: str, signs: Mapping[str, Seen], likeness: Likeness | None, standings: Standings
    ) -> Seen | None:
        """The hazard as it is to be noted, or None; a phrase of the pack presses, where it is believed at all.

        A plan is noted as told; of a hazard without lessons, any sign is.
        """
        odds = sum(getattr(self._weights, kind) for kind in signs)
        odds += likeness.odds if likeness else self._weights.bias
        learnt = hazard in self.meaning.hazards
        believed = odds >= self._weights.noted if learnt else bool(signs)
        if not believed and "planned" not in signs:
            return None
        shown = min(signs.values(), key=lambda item: item.how, default=None)
        if shown is None:
            shown = self._by_meaning(hazard, likeness, standings) if likeness else None
        presses = "reported" in signs or not learnt or odds >= self._weights.pressing
        if shown is None or (presses and not self._is_soothing(hazard, signs, shown, standings)):
            return shown
        return replace(shown, how=max(shown.how, How.HINTED if signs else How.LIKENED))

    def _is_soothing(self, hazard: str, signs: Mapping[str, Seen], shown: Seen, standings: Standings) -> bool:
        """No phrase of the pack tells it, and the words it was read in say "not", or that all is well."""
        if not signs.keys() <= {"trouble"} or shown.span is None:
            return False
        return standings.soothes(*standings.stretch(shown.span), by_not=hazard not in self._told_by_not)

    def _by_meaning(self, hazard: str, likeness: Likeness, standings: Standings) -> Seen:
        asked = standings.asks(likeness.first) or standings.planned(likeness.last - 1)
        calm = standings.denies(likeness.first, likeness.last) or standings.others(likeness.first)
        how = How.LIKENED if calm else How.REPORTED
        if asked and not self._hazards[hazard].deadly_plan:
            how = How.PLANNED
        return Seen(hazard, how, likeness.basis(standings), likeness.span(standings))

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
        if item.how >= How.LIKENED:
            return _calmly(hazard, item)
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
            emergency=hazard.emergency and pressing,
        )


def _says_not(hazard: Hazard) -> bool:
    """Told often enough by what does not happen: brakes that do not hold, a charger that does not stop."""
    telling = [not NOT.isdisjoint(token.norm for token in tokenise(text)) for text in hazard.examples]
    return sum(telling) >= OFTEN * max(1, len(telling))


def _calmly(hazard: Hazard, item: Seen) -> HazardNote:
    """What work could bring, or was perhaps told, is a WARNING at most: DANGER is kept for what will hurt."""
    signal = max(hazard.signal, Signal.WARNING, key=lambda word: word.rank)
    note = hazard.at_work or hazard.note
    return HazardNote(hazard.id, signal, note, hazard.at_work or hazard.short, span=item.span, basis=item.basis)

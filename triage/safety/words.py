"""Hazards told in the pack's own phrases: what happens, and what the asker is about to do."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from triage.language import Document
from triage.language.phrases import Found, GappedPatterns
from triage.pack.schema import Hazard
from triage.safety.seen import How, Seen
from triage.safety.standing import NOT, Standings

Denied = tuple[str, int]  # hazard, number of the sentence
_MARKS = frozenset(",;:()")  # a phrase that runs over one of these is two things told one after the other


@dataclass(frozen=True, slots=True)
class Told:
    """What a phrase tells."""

    hazard: Hazard
    how: How
    says_not: bool  # the danger is that something does not: "brakes do not hold"


class HazardWords:
    """The pack's hazard phrases, compiled."""

    def __init__(self, hazards: Iterable[Hazard]) -> None:
        self._patterns: GappedPatterns[Told] = GappedPatterns()
        self._last: tuple[Standings, tuple[Found[Told], ...]] | None = None  # what was found last is asked for twice
        for hazard in hazards:
            for how, phrases in ((How.REPORTED, hazard.phrases), (How.PLANNED, hazard.plans)):
                for phrase in phrases:
                    self._patterns.add(phrase, Told(hazard, how, not NOT.isdisjoint(re.split(r"[|\s]+", phrase))))

    def find(self, standings: Standings) -> Iterator[Seen]:
        """Every phrase that is true of the asker's vehicle today or of what they mean to do."""
        return (
            _seen(found, standings) for found in self._found(standings) if not _is_denied(found, standings, over=True)
        )

    def denied(self, standings: Standings) -> frozenset[Denied]:
        """Hazards a phrase of which is denied, each with the sentence that denies it."""
        tokens = standings.document.tokens
        return frozenset(
            (found.payload.hazard.id, tokens[found.first].sentence)
            for found in self._found(standings)
            if _is_denied(found, standings, over=False)
        )

    def _found(self, standings: Standings) -> tuple[Found[Told], ...]:
        """Every phrase within one stretch between marks."""
        if self._last is None or self._last[0] is not standings:
            document = standings.document
            every = self._patterns.find(document.tokens, document.forms)
            within = (found for found in every if _MARKS.isdisjoint(document.text[slice(*_ends(found, document))]))
            self._last = standings, tuple(within)
        return self._last[1]


def _is_denied(found: Found[Told], standings: Standings, *, over: bool) -> bool:
    """Turned by a "not", or denied; with `over` also what was mended or is another's."""
    turned = not found.payload.says_not and standings.turned(found.first, found.last)
    if over:
        return turned or not standings.pushes(found.first, found.last)
    return turned or standings.document.scopes.denied(found.first, found.last)


def _ends(found: Found[Told], document: Document) -> tuple[int, int]:
    return document.tokens[found.first].start, document.tokens[found.last - 1].end


def _seen(found: Found[Told], standings: Standings) -> Seen:
    hazard, how = found.payload.hazard, found.payload.how
    if how is How.REPORTED and standings.planned(found.first) and not hazard.deadly_plan:
        how = How.PLANNED
    document = standings.document
    words = document.words(found.first, found.last)
    return Seen(hazard.id, how, f"words: '{words}'", document.span(found.first, found.last))

"""Small facts read only to hold others against them: the kind of charger, caps on a battery, where a tyre rubs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import product

from triage.language import Document
from triage.language.phrases import Found, GappedPatterns, PhraseTrie
from triage.model import Fact, FactValue, Span, Standing
from triage.pack import Pack
from triage.pack.schema import Clue

_REACH = 3  # words between a number and what it counts
_PACKS = 8  # packs whose patterns are kept compiled


def with_clues(facts: Sequence[Fact], document: Document, pack: Pack) -> tuple[Fact, ...]:
    """The facts and the clues of the text, without facts whose words a clue reads otherwise."""
    found = list(_patterns(pack).find(document))
    taken = [(item.payload.covers, document.span(item.first, item.last)) for item in found if item.payload.covers]
    kept = tuple(fact for fact in facts if not any(fact.name in names and _begins_in(fact, s) for names, s in taken))
    clues = (clue for item in found for clue in _facts(item, document, facts))
    return (*kept, *dict.fromkeys(clues))


class _Patterns:
    """The phrases of a pack's clues, compiled."""

    def __init__(self, clues: Iterable[Clue]) -> None:
        self._close: PhraseTrie[Clue] = PhraseTrie()
        self._apart: GappedPatterns[Clue] = GappedPatterns()
        for clue in clues:
            for phrase in clue.phrases:
                self._add(phrase, clue)

    def _add(self, phrase: str, clue: Clue) -> None:
        if clue.gaps:
            self._apart.add(phrase, clue)
            return
        for words in product(*(word.split("|") for word in phrase.split())):
            self._close.add(" ".join(words), clue)

    def find(self, document: Document) -> Iterator[Found[Clue]]:
        """Every clue in the text."""
        yield from self._close.find(document.stems)
        yield from self._apart.find(document.tokens, document.forms)


@lru_cache(maxsize=_PACKS)
def _patterns(pack: Pack) -> _Patterns:
    return _Patterns(pack.clues.values())


def _facts(item: Found[Clue], document: Document, facts: Sequence[Fact]) -> Iterator[Fact]:
    clue, value, first = item.payload, _value(item, document), item.first
    if value is None:
        return
    span = document.span(first, item.last)
    basis = f"words: '{document.words(first, item.last)}'"
    standing = _standing(document, first, item.last)
    yield Fact(clue.fact, value, clue.unit, standing, span, basis, _vehicle(span, facts))


def _value(item: Found[Clue], document: Document) -> FactValue | None:
    """The clue's own value, or the number told just before what it counts."""
    if not item.payload.counted:
        return float(item.payload.value) if item.payload.unit else item.payload.value
    before = [q for q in document.quantities if q.last <= item.first and not q.unit]
    near = before[-1] if before and item.first - before[-1].last <= _REACH else None
    sentence = document.tokens[item.first].sentence
    return near.value if near and document.tokens[near.first].sentence == sentence else None


def _standing(document: Document, first: int, last: int) -> Standing:
    scopes = document.scopes
    marks = (
        (Standing.OTHER, scopes.other(first)),
        (Standing.DENIED, scopes.denied(first, last)),
        (Standing.PLANNED, scopes.planned(first)),
        (Standing.PAST, scopes.past(first, first + 1)),
        (Standing.HEDGED, scopes.hearsay(first) or scopes.hedged(first, last)),
    )
    return next((standing for standing, holds in marks if holds), Standing.STATED)


def _vehicle(span: Span, facts: Sequence[Fact]) -> int:
    """That of the fact told last before the clue."""
    before = [fact for fact in facts if _told_here(fact) and fact.span and fact.span.start <= span.start]
    return max(before, key=lambda fact: fact.span.start if fact.span else 0).vehicle if before else 1


def _told_here(fact: Fact) -> bool:
    return not fact.message and fact.standing is not Standing.INFERRED


def _begins_in(fact: Fact, span: Span) -> bool:
    return fact.span is not None and not fact.message and span.start <= fact.span.start < span.end

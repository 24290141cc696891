"""Read the facts out of a text: compiled once per pack, pure per question."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from triage.facts import (
    battery,
    catalogue,
    history,
    measurement,
    merge,
    names,
    running_gear,
    unlisted,
    vocabulary,
    years,
)
from triage.facts.candidate import Candidate
from triage.facts.symptom import SymptomWords
from triage.facts.trade import Trade, vehicle_names
from triage.language import Document, Language
from triage.model import Fact
from triage.pack import Pack

NUMERIC = frozenset(
    {
        "pack_voltage",
        "battery_voltage",
        "battery_count",
        "charger_voltage",
        "top_speed",
        "controller_current",
        "tyre_size",
        "wheel_diameter",
        "lift",
        "spacer",
        "year",
        "battery_age",
    }
)


def without_choices(candidates: list[Candidate], document: Document) -> Iterator[Candidate]:
    """Leave out values offered and not said: "is it a 36 or a 48?". A choice of years is a range already."""
    for one in candidates:
        rivals = (two for two in candidates if two.name == one.name and two.value != one.value and one.name in NUMERIC)
        if not any(_joined_by_or(document, one, two) for two in rivals):
            yield one


def _joined_by_or(document: Document, one: Candidate, two: Candidate) -> bool:
    between = [token.norm for token in document.tokens[min(one.last, two.last) : max(one.first, two.first)]]
    return between in (["or"], ["or", "a"], ["or", "is", "it", "a"], ["or", "maybe"])


class FactReader:
    """Knows a pack's words and vehicles; turns texts into facts."""

    def __init__(self, pack: Pack) -> None:
        self._pack = pack
        self._trade = Trade.of(pack)
        phrases = (phrase for symptom in pack.symptoms.values() for phrase in symptom.phrases)
        self.language = Language(pack.words, vehicle_names(pack), phrases)
        self._symptoms = SymptomWords(pack.symptoms.values())

    def read(self, document: Document, known: Iterable[Fact] = ()) -> tuple[Fact, ...]:
        """Facts of the text, joined with what earlier messages of the thread told, and what follows from both."""
        said = merge.to_facts(self._candidates(document), document)
        joined = merge.with_known(said, known)
        return catalogue.infer(catalogue.refine(joined, self._pack), self._pack)

    def _vehicles(self, document: Document) -> Iterator[Candidate]:
        """Make, model and year; an unlisted make is looked for only where no listed one is named."""
        named = list(names.find(document, self._trade))
        labelled = list(unlisted.labelled(document, named))
        yield from (*named, *labelled, *years.find(document, self._trade))
        if not any(candidate.name == "make" for candidate in (*named, *labelled)):
            yield from unlisted.find(document, self.language.spelling, self._trade)

    def _candidates(self, document: Document) -> Iterator[Candidate]:
        closed = [
            *self._vehicles(document),
            *battery.find(document, self._trade),
            *running_gear.find(document, self._trade),
        ]
        closed = list(without_choices(closed, document))
        yield from closed
        yield from vocabulary.find(document, self._pack.words.implies)
        numeric = [c for c in closed if c.name in NUMERIC]
        taken = frozenset(index for c in numeric for index in range(c.first, c.last))
        yield from measurement.find(document, taken)
        yield from history.find(document)
        yield from self._symptoms.find(document)

"""Read the facts out of a text: compiled once per pack, pure per question."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from triage.facts import (
    battery,
    changes,
    codes,
    corrections,
    exact,
    fitted,
    inference,
    intent,
    measurement,
    merge,
    names,
    running_gear,
    serial,
    speed,
    unlisted,
    vocabulary,
    work,
    year_ranges,
    years,
)
from triage.facts.candidate import Candidate
from triage.facts.everyday import Heard
from triage.facts.symptom import SymptomWords
from triage.facts.trade import Trade, vehicle_names
from triage.language import Document, Language
from triage.model import Fact
from triage.pack import Pack

NUMERIC = frozenset(
    "pack_voltage battery_voltage battery_count charger_voltage top_speed controller_current tyre_size "
    "wheel_diameter lift spacer year battery_age serial error_code".split()
)
_CHOICES = (["or"], ["or", "the"], ["or", "a"], ["or", "an"], ["or", "is", "it", "a"], ["or", "is", "it"])
_CHOICE_REACH = 4  # words between two values offered


def without_choices(candidates: list[Candidate], document: Document) -> Iterator[Candidate]:
    """Leave out values offered and not said: "is it a 36 or a 48?". A choice of years is a range already."""
    offered: set[int] = set()
    ordered = sorted((c for c in candidates if c.name in NUMERIC), key=lambda c: c.first)
    for position, one in enumerate(ordered):
        for two in ordered[position + 1 : position + 1 + _CHOICE_REACH]:
            if one.name == two.name and one.value != two.value and _joined_by_or(document, one, two):
                offered |= {id(one), id(two)}
        if _offered_with_bare(document, one):
            offered.add(id(one))
    yield from (candidate for candidate in candidates if id(candidate) not in offered)


def _joined_by_or(document: Document, one: Candidate, two: Candidate) -> bool:
    gap = range(one.last, two.first)
    return len(gap) <= _CHOICE_REACH and [document.norm(i) for i in gap] in _CHOICES


def _offered_with_bare(document: Document, one: Candidate) -> bool:
    """ "36 or 48 volt": the first was not read as a voltage for want of its unit."""
    choice = one.name == "pack_voltage" and document.norm(one.first - 1) == "or" and one.first >= 2
    return choice and document.tokens[one.first - 2].kind == "number"


class FactReader:
    """Knows a pack's words and vehicles; turns texts into facts."""

    def __init__(self, pack: Pack) -> None:
        self._pack = pack
        self._trade = Trade.of(pack)
        self._serials = serial.patterns_of(pack)
        phrases = (phrase for symptom in pack.symptoms.values() for phrase in symptom.phrases)
        heard = Heard.of(pack)
        self.language = Language(pack.words, vehicle_names(pack), (*phrases, *heard.everyday))
        self._words = unlisted.Vocabulary(self.language.spelling, heard)
        self._symptoms = SymptomWords(pack.symptoms.values())

    def read(self, document: Document, known: Iterable[Fact] = ()) -> tuple[Fact, ...]:
        """Facts of the text, joined with what earlier messages of the thread told, and what follows from both."""
        named = self._named(document)
        document = document.with_names(unlisted.mentions(document, named))
        said = merge.to_facts(self._candidates(document, named), document)
        joined = merge.with_known(said, known)
        return inference.infer(exact.refine(joined, self._pack, document.text), self._pack)

    def _named(self, document: Document) -> list[Candidate]:
        """Makes and models; a make that is not listed is looked for only where no listed one is named."""
        listed = list(names.find(document, self._trade))
        found = [*listed, *unlisted.labelled(document, listed)]
        makes = [candidate for candidate in found if candidate.name == "make"]
        if not makes:
            found += unlisted.find(document, self._words, self._trade, alone=not listed)
        elif not any(candidate.name == "model" for candidate in found):
            found += unlisted.models(document, makes, self._words)
        if not any(candidate.name == "model" for candidate in listed):
            found += names.by_seats(document, listed, self._pack.vehicles)
        return found

    def _closed(self, document: Document, named: Sequence[Candidate]) -> list[Candidate]:
        """Facts with one value each."""
        found = [
            *named,
            *years.find(document, self._trade),
            *serial.find(document, self._serials),
            *battery.find(document, self._trade),
            *running_gear.find(document, self._trade),
            *speed.find(document),
            *fitted.find(document, self._trade),
            *codes.find(document, self._trade),
        ]
        found = list(year_ranges.joined(found, document))
        found += list(corrections.echoes(found, document))
        return list(without_choices(found, document))

    def _candidates(self, document: Document, named: Sequence[Candidate]) -> Iterator[Candidate]:
        closed = self._closed(document, named)
        yield from closed
        yield from vocabulary.find(document, self._pack.words.implies)
        numeric = [c for c in closed if c.name in NUMERIC]
        taken = frozenset(index for c in numeric for index in range(c.first, c.last))
        yield from measurement.find(document, self._trade, taken)
        yield from work.find(document)
        yield from changes.find(document, self._pack.words.modifications)
        yield from intent.find(document)
        yield from self._symptoms.find(document)

"""Whose names and numbers a thread holds, and which words of the pack must stay, for leaving the former out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

from triage.language.private import Particulars
from triage.pack import Pack
from triage.store import Thread

_WORD = re.compile(r"[^\W\d_]{3,}")


def known_particulars(thread: Thread, pack: Pack) -> Particulars:
    """Who writes in a thread and the serial numbers told there; what must stay is the pack's."""
    names = {thread.asker.name, *(message.sender.name for message in thread.messages)}
    names |= {question.asker for question in thread.questions}
    facts = (*(fact for saved in thread.readings for fact in saved.reading.facts), *thread.facts)
    numbers = sorted({str(fact.value) for fact in facts if fact.name == "serial"})
    return Particulars.of(sorted(names), numbers, _kept(pack), usual_words(pack))


def trade_particulars(pack: Pack) -> Particulars:
    """What must stay, where nobody is known by name."""
    return Particulars.of(keep=_kept(pack), usual=usual_words(pack))


def usual_words(pack: Pack) -> frozenset[str]:
    """Every word that the pack's own texts have without a capital, lower case."""
    return _usual(pack)


@lru_cache(maxsize=4)
def _usual(pack: Pack) -> frozenset[str]:
    return frozenset(word for text in _texts(pack) for word in _WORD.findall(text) if word.islower())


def _texts(pack: Pack) -> Iterator[str]:
    for answer in pack.answers:
        yield from (answer.title, answer.question, answer.text)
    for check in pack.checks.values():
        yield from (check.label, check.text, *(outcome.finding + " " + outcome.means for outcome in check.outcomes))
    for hazard in pack.hazards.values():
        yield from (hazard.label, hazard.note, *hazard.phrases, *hazard.plans, *hazard.examples, *hazard.calm)
    for symptom in pack.symptoms.values():
        yield from (symptom.label, *symptom.phrases, *symptom.examples)
    yield from (cause.label for cause in pack.causes.values())


def _kept(pack: Pack) -> Iterable[str]:
    yield pack.shop.name
    for vehicle in pack.vehicles:
        yield from (vehicle.make, vehicle.model, *vehicle.aliases)

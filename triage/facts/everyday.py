"""Words that askers use every day: what is no name although it stands where one would."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from triage.pack import Pack

LEAST = 3  # times a word is told in the pack's examples
_WORD = re.compile(r"(?<![A-Za-z'’])[a-z]+(?:['’][a-z]+)?")


@dataclass(frozen=True)
class Heard:
    """Words in small letters of the pack's own sentences."""

    once: frozenset[str]
    everyday: frozenset[str]  # told LEAST times or more

    @classmethod
    def of(cls, pack: Pack) -> Heard:
        """Count the words of the sentences the pack learns from, and of its checks."""
        told = Counter(_plain(word) for text in _texts(pack) for word in _WORD.findall(text))
        return cls(frozenset(told), frozenset(word for word, count in told.items() if count >= LEAST))


def _plain(word: str) -> str:
    return word.replace("'", "").replace("’", "")


def _texts(pack: Pack) -> Iterator[str]:
    for symptom in pack.symptoms.values():
        yield from (*symptom.examples, *symptom.unlike)
    for hazard in pack.hazards.values():
        yield from (*hazard.examples, *hazard.calm)
    told = [record.sentences for record in pack.told.values()]
    told += [record.sentences for record in pack.calm.values()]
    told += [record.sentences for record in pack.symptoms_told.values()]
    told += [record.examples for record in pack.intents.values()]
    told += [record.examples for record in pack.scope.values()]
    yield from (sentence for sentences in told for sentence in sentences)
    yield from (check.text for check in pack.checks.values())

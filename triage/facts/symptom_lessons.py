"""What a pack teaches of symptoms: sentences, each with the symptoms it tells."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from triage.pack.schema import Symptom, SymptomTold


@dataclass(frozen=True, slots=True)
class Lesson:
    """A text and the symptoms it tells; none for one that tells nothing."""

    text: str
    symptoms: frozenset[str] = frozenset()


def lessons(
    symptoms: Iterable[Symptom], told: Iterable[SymptomTold] = (), plain: Iterable[str] = ()
) -> tuple[Lesson, ...]:
    """Each text once, with every symptom it is given for; `plain` are texts of the pack that tell none."""
    known: dict[str, Lesson] = {}
    records = [(s.id, s.examples, s.unlike) for s in symptoms] + [(t.id, t.sentences, t.unlike) for t in told]
    for symptom, examples, unlike in records:
        for text in examples:
            _add(known, text, frozenset((symptom,)))
        for text in unlike:
            _add(known, text, frozenset())
    for text in plain:
        _add(known, text, frozenset())
    return tuple(known.values())


def _add(known: dict[str, Lesson], text: str, symptoms: frozenset[str]) -> None:
    key = text.casefold()
    earlier = known.get(key, Lesson(text))
    known[key] = Lesson(earlier.text, earlier.symptoms | symptoms)

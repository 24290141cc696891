"""The pack's words as entries: phrase by phrase, what each stands for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from triage.pack.words import Words


@dataclass(frozen=True, slots=True)
class Entry:
    """What a phrase of the pack stands for: kind ("part", "value", "cue" ...), key and value."""

    kind: str
    key: str
    value: str = ""


def entries(words: Words) -> Iterator[tuple[str, Entry]]:
    """Every phrase of the word lists with its entry."""
    for fact, values in words.values.items():
        yield from _listed("value", fact, values)
    for index, implication in enumerate(words.implies):
        for kind, phrases in (("implies", implication.phrases), ("unless", implication.unless)):
            yield from ((told, Entry(kind, str(index), told)) for phrase in phrases for told in spelled_out(phrase))
    for kind, groups in (
        ("part", words.parts),
        ("work", words.work),
        ("done", words.done),
        ("outcome", words.outcomes),
        ("intent", words.intents),
        ("modification", words.modifications),
        ("use", words.uses),
        ("cue", words.cues),
    ):
        for key, phrases in groups.items():
            for phrase in phrases:
                yield from ((told, Entry(kind, key, told)) for told in spelled_out(phrase))


def spelled_out(phrase: str) -> Iterator[str]:
    """A phrase whose words hold alternatives, told in full.

    >>> list(spelled_out("bigger|taller tyres|tires"))
    ['bigger tyres', 'bigger tires', 'taller tyres', 'taller tires']
    """
    yield from (" ".join(words) for words in product(*(word.split("|") for word in phrase.split(" "))))


def same_meaning(a: Entry, b: Entry) -> bool:
    """True when a text gains nothing by knowing both."""
    by_value = a.kind in ("value", "name")
    return a.kind == b.kind and a.key == b.key and (a.value == b.value or not by_value)


def _listed(kind: str, key: str, values: dict[str, list[str]]) -> Iterator[tuple[str, Entry]]:
    for value, phrases in values.items():
        for phrase in phrases:
            yield from ((told, Entry(kind, key, value)) for told in spelled_out(phrase))

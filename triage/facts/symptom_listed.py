"""Symptoms told by figures alone: a list of readings, one battery each, of which one lies below the others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from statistics import median

from triage.model import Fact
from triage.pack.schema import Symptom


class Listed:
    """The pack's symptoms that a list of readings can tell."""

    def __init__(self, symptoms: Iterable[Symptom]) -> None:
        self._below = {symptom.id: symptom.one_below for symptom in symptoms if symptom.one_below is not None}

    def shown(self, facts: Sequence[Fact]) -> Iterator[Fact]:
        """A symptom for the first list that tells it, with the list's own standing, words and condition."""
        told = {fact.value for fact in facts if fact.name == "symptom"}
        for symptom, share in self._below.items():
            low = (fact for fact in _lists(facts) if fact.vehicle == 1 and _apart(_readings(fact)) > share)
            fact = next(low, None)
            if fact is not None and symptom not in told:
                basis = f"one reading lies {_apart(_readings(fact)):.0%} below the usual one of its list"
                yield Fact("symptom", symptom, "", fact.standing, fact.span, basis, 1, "", fact.condition)

    def settled(self, facts: Sequence[Fact]) -> frozenset[str]:
        """Symptoms that the figures speak of, one way or the other; what the words are like says no more."""
        return frozenset(self._below) if any(_lists(facts)) else frozenset()


def _lists(facts: Iterable[Fact]) -> Iterator[Fact]:
    for fact in facts:
        if fact.name == "measurement" and fact.standing.holds and len(_readings(fact)) > 2:
            yield fact


def _readings(fact: Fact) -> tuple[float, ...]:
    return fact.value if isinstance(fact.value, tuple) else ()


def _apart(values: Sequence[float]) -> float:
    """How far the lowest lies below the middle one, as a share of it."""
    usual = median(values)
    return (usual - min(values)) / usual if usual > 0 else 0.0

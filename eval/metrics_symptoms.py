"""Symptoms, by id."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from eval.cases import Case, Mistake
from eval.counts import Counts
from eval.pairing import Paired, pair_names


def pair_symptoms(case: Case) -> Paired[str, str]:
    """Symptoms labelled against symptoms read; nothing on either side where labels are plain words."""
    if case.plain_symptoms:
        return pair_names([], [])
    held = [str(fact.value) for fact in case.reading.facts if fact.name == "symptom" and fact.standing.holds]
    return pair_names(case.gold.symptoms, held)


def total(cases: Iterable[Case]) -> Counts:
    """Counts over all symptoms."""
    return sum((pair_symptoms(case).counts for case in cases), Counts())


def by_symptom(cases: Iterable[Case]) -> dict[str, Counts]:
    """Counts of each symptom, by id."""
    result: defaultdict[str, Counts] = defaultdict(Counts)
    for case in cases:
        paired = pair_symptoms(case)
        for name, _ in paired.pairs:
            result[name] += Counts(true=1)
        for name in paired.missed:
            result[name] += Counts(missed=1)
        for name in paired.false:
            result[name] += Counts(false=1)
    return dict(sorted(result.items()))


def mistakes(case: Case) -> Iterator[Mistake]:
    """Symptoms missed or made up."""
    paired = pair_symptoms(case)
    held = [second for _, second in paired.pairs]
    yield from (Mistake("symptom missed", name, [*held, *paired.false]) for name in paired.missed)
    yield from (Mistake("symptom made up", case.gold.symptoms, name) for name in paired.false)

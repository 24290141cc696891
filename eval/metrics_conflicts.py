"""Contradictions: is one seen where one is? Labels are plain words, so only whether there is one is counted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from eval.cases import Case, Mistake
from eval.counts import Counts


def seen(case: Case) -> Counts:
    """One question as counts: seen, made up or missed."""
    there, found = bool(case.gold.conflicts), bool(case.reading.conflicts)
    return Counts(true=int(there and found), false=int(found and not there), missed=int(there and not found))


def total(cases: Iterable[Case]) -> Counts:
    """Counts over all questions."""
    return sum((seen(case) for case in cases), Counts())


def mistakes(case: Case) -> Iterator[Mistake]:
    """A conflict missed or made up."""
    counts = seen(case)
    if counts.false or counts.missed:
        kind = "conflict missed" if counts.missed else "conflict made up"
        yield Mistake(kind, case.gold.conflicts, [conflict.says for conflict in case.reading.conflicts])

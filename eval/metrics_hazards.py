"""Hazards that the asker reports or is about to meet: none missed, and calm questions left calm."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from eval.cases import Case, Mistake
from eval.counts import Counts, Share, share_of
from eval.pairing import Paired, pair_names


def reported(case: Case) -> list[str]:
    """Hazards read in the asker's words; those of the work an answer proposes are not labelled."""
    return [note.hazard for note in case.reading.hazards if note.span is not None or note.urgent]


def pair_hazards(case: Case) -> Paired[str, str]:
    """Hazards labelled against hazards read."""
    return pair_names(case.gold.hazards, reported(case))


def total(cases: Iterable[Case]) -> Counts:
    """Counts over all hazards."""
    return sum((pair_hazards(case).counts for case in cases), Counts())


def by_hazard(cases: Iterable[Case]) -> dict[str, Counts]:
    """Counts of each hazard, by id."""
    result: defaultdict[str, Counts] = defaultdict(Counts)
    for case in cases:
        paired = pair_hazards(case)
        for name, _ in paired.pairs:
            result[name] += Counts(true=1)
        for name in paired.missed:
            result[name] += Counts(missed=1)
        for name in paired.false:
            result[name] += Counts(false=1)
    return dict(sorted(result.items()))


def shown_at_all(cases: Iterable[Case]) -> Share:
    """Share of the labelled hazards the reading carries in any way, the proposed work's included."""
    told = []
    for case in cases:
        notes = {note.hazard for note in case.reading.hazards}
        told += [hazard in notes for hazard in sorted(set(case.gold.hazards))]
    return share_of(told)


def false_alarms(cases: Iterable[Case], *, urgent: bool = False) -> Share:
    """Share of the calm questions (no hazard labelled) in which one was read; `urgent`: one to hand over for."""
    calm = [case for case in cases if not case.gold.hazards]
    return share_of([_alarmed(case, urgent) for case in calm])


def _alarmed(case: Case, urgent: bool) -> bool:
    return any(note.urgent for note in case.reading.hazards) if urgent else bool(reported(case))


def mistakes(case: Case) -> Iterator[Mistake]:
    """Hazards missed or made up."""
    paired = pair_hazards(case)
    yield from (Mistake("hazard missed", name, sorted(reported(case))) for name in paired.missed)
    because = {note.hazard: note.basis for note in case.reading.hazards}
    for name in paired.false:
        yield Mistake("hazard made up", sorted(case.gold.hazards), f"{name} ({because[name]})")

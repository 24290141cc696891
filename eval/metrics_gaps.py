"""What is asked back: the deciding fact first, and nothing that was already told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from eval.cases import Case, Mistake
from eval.counts import Share, share_of
from triage.model import Standing

_FIRM = frozenset({Standing.STATED, Standing.CORRECTED, Standing.INFERRED})  # a hedged fact may be asked again


def asked(case: Case) -> list[str]:
    """Facts asked for, the most valuable first."""
    return [gap.fact for gap in case.reading.gaps]


def decisive_first(cases: Iterable[Case]) -> Share:
    """Share of the questions with a deciding fact that ask for it first."""
    return share_of([is_first(case) for case in cases if case.gold.deciding])


def is_first(case: Case) -> bool:
    """True when what is asked for first is a deciding fact."""
    return not set(asked(case)[:1]).isdisjoint(case.gold.deciding)


def decisive_asked(cases: Iterable[Case]) -> Share:
    """Share of the questions with a deciding fact that ask for it at all."""
    return share_of([not set(asked(case)).isdisjoint(case.gold.deciding) for case in cases if case.gold.deciding])


def told_names(case: Case) -> frozenset[str]:
    """Facts the label says were told firmly."""
    gold = case.gold
    listed = {
        "symptom": gold.symptoms, "work_done": gold.work_done,
        "modification": gold.modifications, "measurement": gold.measurements,
    }  # fmt: skip
    firm = {fact.name for fact in gold.facts if fact.standing in _FIRM}
    return frozenset(firm | {name for name, items in listed.items() if items})


def asked_again(cases: Iterable[Case]) -> Share:
    """Share of all facts asked for that the asker had told."""
    return share_of([name in told_names(case) for case in cases for name in asked(case)])


def mistakes(case: Case) -> Iterator[Mistake]:
    """A deciding fact not asked first; a fact asked for that was told."""
    if case.gold.deciding and not is_first(case):
        yield Mistake("deciding fact not first", list(case.gold.deciding), asked(case))
    for name in asked(case):
        if name in told_names(case):
            yield Mistake("asked what was told", sorted(told_names(case)), name)

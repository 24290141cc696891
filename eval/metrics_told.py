"""What else was told: work done, modifications, measurements, and what is wanted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import isclose
from typing import Literal

from rapidfuzz.fuzz import token_set_ratio

from eval.cases import Case, Mistake
from eval.counts import Counts, Share, share_of
from eval.pairing import Paired, pair
from eval.values import Figure, figures
from triage.model import Standing

ALIKE = 80.0  # token_set_ratio from which two wordings mean the same work
_TOLD = frozenset({Standing.STATED, Standing.HEDGED, Standing.CORRECTED, Standing.PAST})

Kind = Literal["work_done", "modification"]
KindOfTold = Literal["work_done", "modification", "measurement"]
KINDS: tuple[KindOfTold, ...] = ("work_done", "modification", "measurement")


def pair_work(case: Case, kind: Kind) -> Paired[str, str]:
    """Labels are free wordings, so that likeness decides; what is labelled as planned has not happened."""
    labels = case.gold.work_done if kind == "work_done" else case.gold.modifications
    there = dict.fromkeys(text for text in labels if not text.endswith(" planned"))
    found = dict.fromkeys(str(f.value) for f in case.reading.facts if f.name == kind and f.standing.holds)
    return pair(list(there), list(found), lambda a, b: token_set_ratio(a.casefold(), b.casefold()), ALIKE)


def pair_measurements(case: Case) -> Paired[Figure, Figure]:
    """Figure by figure with its unit; a list per battery counts as its figures, a range as its ends."""
    there = [one for item in case.gold.measurements for one in figures(item.value, item.unit)]
    facts = [fact for fact in case.reading.facts if fact.name == "measurement" and fact.standing in _TOLD]
    found = [one for fact in facts for one in figures(fact.value, fact.unit)]
    return pair(there, found, lambda a, b: float(a[1] == b[1] and isclose(a[0], b[0], rel_tol=1e-9)), 1.0)


def counts_of(cases: Iterable[Case], kind: KindOfTold) -> Counts:
    """Counts of one kind over all cases."""
    return sum((_pair(case, kind).counts for case in cases), Counts())


def _pair(case: Case, kind: KindOfTold) -> Paired[str, str] | Paired[Figure, Figure]:
    return pair_measurements(case) if kind == "measurement" else pair_work(case, kind)


def intent_read(case: Case) -> str:
    """What the program takes to be wanted; "other" where it says nothing."""
    told = (str(fact.value) for fact in case.reading.facts if fact.name == "intent" and fact.standing.holds)
    return next(told, "other")


def intent_share(cases: Iterable[Case]) -> Share:
    """Share of questions whose intent is read right."""
    return share_of([intent_read(case) == case.gold.intent for case in cases])


def mistakes(case: Case) -> Iterator[Mistake]:
    """Work, modifications and measurements missed or made up; a wrong intent."""
    for kind in KINDS:
        paired = _pair(case, kind)
        found = [second for _, second in paired.pairs]
        for item in paired.missed:
            yield Mistake(f"{kind} missed", item, [*found, *paired.false])
        for other in paired.false:
            yield Mistake(f"{kind} made up", [*(first for first, _ in paired.pairs), *paired.missed], other)
    if intent_read(case) != case.gold.intent:
        yield Mistake("intent", case.gold.intent, intent_read(case))

"""The right answer or none: how often it is found, how sure the program may be, and what it decides."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from eval.calibration import Bin, auroc, reliability
from eval.cases import PROGRAM, Case, Mistake
from eval.counts import Share, share_of
from triage.model import Decision

COVERAGES = (0.2, 0.4, 0.6, 0.8, 1.0)


def right_within(cases: Sequence[Case], first: int, ranker: str = PROGRAM) -> Share:
    """Share of the questions with an answer whose right answer is among the first so many."""
    return share_of([is_right(case, first, ranker) for case in cases if case.gold.answer is not None])


def is_right(case: Case, first: int = 1, ranker: str = PROGRAM) -> bool:
    """True when an accepted answer is among the first so many."""
    return not case.gold.accepted.isdisjoint(case.ranking(ranker).answers[:first])


def none_fits(cases: Sequence[Case], ranker: str = PROGRAM) -> float | None:
    """AUROC of "nothing in the base fits", scored by how weak the best answer is."""
    return auroc([case.gold.answer is None for case in cases], [-case.ranking(ranker).best for case in cases])


def none_fits_rest(cases: Sequence[Case]) -> float | None:
    """AUROC of "nothing fits", scored by the probability that no offered answer takes."""
    return auroc([case.gold.answer is None for case in cases], [rest(case) for case in cases])


def bins(cases: Sequence[Case]) -> list[Bin]:
    """Probability of the best answer against how often it is right; where no answer fits it is wrong."""
    return reliability([case.ranking().best for case in cases], [is_right(case) for case in cases])


@dataclass(frozen=True, slots=True)
class Answered:
    """What happens when the program answers by itself: how much it covers, and how much of that is wrong."""

    covered: Share
    wrong: Share
    threshold: float | None = None  # probability from which it would answer; None for its own decision


def answered(cases: Sequence[Case]) -> Answered:
    """The program's own decision to answer; wrong answers are the confidently wrong ones."""
    chosen = [case for case in cases if case.reading.decision is Decision.ANSWER]
    return Answered(Share(len(chosen), len(cases)), share_of([not is_right(case) for case in chosen]))


def at_coverage(cases: Sequence[Case], coverage: float) -> Answered:
    """If it answered the surest share of all questions; ties go by id."""
    chosen = _surest(cases, coverage, lambda case: case.ranking().best)
    threshold = chosen[-1].ranking().best if chosen else None
    return Answered(Share(len(chosen), len(cases)), share_of([not is_right(c) for c in chosen]), threshold)


def words_at_coverage(cases: Sequence[Case], coverage: float) -> Answered:
    """The same for its word: the best answer, or that none fits where that is likelier."""
    chosen = _surest(cases, coverage, lambda case: max(case.ranking().best, rest(case)))
    return Answered(Share(len(chosen), len(cases)), share_of([not _is_word_right(c) for c in chosen]))


def least_wrong(cases: Sequence[Case], coverage: float) -> float:
    """Share wrong at a coverage if every right best answer were surer than every wrong one.

    A question no answer fits has no right best answer, so that this is above 0 wherever they are many.
    """
    covered = ceil(round(coverage * len(cases), 9))
    return max(0, covered - sum(is_right(case) for case in cases)) / max(1, covered)


def rest(case: Case) -> float:
    """The probability that no offered answer takes."""
    return 1.0 - sum(match.probability for match in case.reading.matches)


def _is_word_right(case: Case) -> bool:
    return case.gold.answer is None if rest(case) > case.ranking().best else is_right(case)


def _surest(cases: Sequence[Case], coverage: float, sure: Callable[[Case], float]) -> list[Case]:
    ordered = sorted(cases, key=lambda case: (-sure(case), case.shop, case.gold.id))
    # 0.07 x 100 is a little over 7 in floating point and must not become 8
    return ordered[: ceil(round(coverage * len(cases), 9))]


def decisions(cases: Sequence[Case]) -> Counter[tuple[Decision, Decision]]:
    """How often a question labelled with the first decision got the second."""
    return Counter((case.gold.decision, case.reading.decision) for case in cases)


def decision_share(cases: Sequence[Case]) -> Share:
    """Share of the decisions that are as labelled."""
    return share_of([case.gold.decision is case.reading.decision for case in cases])


def mistakes(case: Case) -> Iterator[Mistake]:
    """A wrong answer first, a confidently wrong one, a wrong decision."""
    right = is_right(case)
    offered = [f"{match.answer} {match.probability:.2f}" for match in case.reading.matches[:3]]
    if case.gold.answer is not None and not right:
        yield Mistake("answer", sorted(case.gold.accepted), offered)
    if case.reading.decision is Decision.ANSWER and not right:
        yield Mistake("serious: confidently wrong", sorted(case.gold.accepted) or "no answer", offered)
    if case.gold.decision is not case.reading.decision:
        got = [case.reading.decision.value, *case.reading.reasons]
        yield Mistake("decision", case.gold.decision.value, got)

"""What a change to the answer base does to answered questions: which get better, which worse, which just change."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from triage.model import Decision, Question, Reading
from triage.pack.schema import Answer

SAME = 0.02  # a probability that moves by less does not change
CARRIES = 0.5  # an answer less likely right than wrong is not put into a reply


class Turn(StrEnum):
    """What becomes of a question."""

    BETTER = "better"
    WORSE = "worse"
    CHANGED = "changed"  # differently read, neither better nor worse, or nobody knows the right answer
    SAME = "as before"


@dataclass(frozen=True)
class Resolved:
    """A question that was answered, with the answers of the base that what was sent agrees with."""

    question: Question
    right: frozenset[str] = frozenset()  # ids; empty where nothing of the base was sent
    thread: int = 0  # 0 for a labelled question
    title: str = ""  # of the thread, or the question's opening words

    @property
    def known(self) -> bool:
        """True where it is known which answer is right."""
        return bool(self.right)


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a question is read with one answer base."""

    first: str = ""  # id of the likeliest answer; "" where none is likely at all
    probability: float = 0.0
    decision: Decision = Decision.NO_ANSWER
    of_right: float = 0.0  # probability of the right answers together

    @classmethod
    def of(cls, reading: Reading, right: frozenset[str]) -> Outcome:
        """The outcome of a reading, for a question with these right answers."""
        best = reading.matches[0] if reading.matches else None
        of_right = sum(match.probability for match in reading.matches if match.answer in right)
        if best is None:
            return cls(decision=reading.decision)
        return cls(best.answer, best.probability, reading.decision, of_right)


@dataclass(frozen=True)
class Effect:
    """A question before and after a change."""

    resolved: Resolved
    before: Outcome
    after: Outcome
    turn: Turn


@dataclass(frozen=True)
class Effects:
    """The outcome over all questions that were read again; those that stay as they were are only counted."""

    changed: tuple[Effect, ...] = ()  # worse first, then better, then merely changed
    read: int = 0  # questions held against both bases
    left: int = 0  # questions further from the change that were not
    counts: Mapping[Turn, int] = field(default_factory=dict)


def successors(before: Sequence[Answer], after: Sequence[Answer]) -> dict[str, frozenset[str]]:
    """Which answers stand for one that leaves the base: itself where it stays, else what comes in its place.

    >>> successors([], [])
    {}
    """
    coming = frozenset(answer.id for answer in after)
    return {answer.id: frozenset({answer.id}) if answer.id in coming else coming for answer in before}


def right_after(right: frozenset[str], changed: Mapping[str, frozenset[str]]) -> frozenset[str]:
    """The right answers by the ids they have after the change."""
    return frozenset(new for old in right for new in changed.get(old, frozenset({old})))


def turn_of(before: Outcome, after: Outcome, changed: Mapping[str, frozenset[str]], *, known: bool) -> Turn:
    """Better or worse where the right answer is known, by whether a reply would carry it, then by its probability."""
    same_answer = after.first in changed.get(before.first, frozenset({before.first}))
    still = same_answer and abs(after.probability - before.probability) < SAME and after.decision is before.decision
    if still and abs(after.of_right - before.of_right) < SAME:
        return Turn.SAME
    if not known:
        return Turn.CHANGED
    gain = after.of_right - before.of_right
    crossed = (after.of_right >= CARRIES) != (before.of_right >= CARRIES)
    if crossed or abs(gain) >= SAME:
        return Turn.BETTER if gain > 0 else Turn.WORSE
    return Turn.CHANGED


def gathered(effects: Iterable[Effect]) -> Effects:
    """All effects of a change, those to look at in the order to look at them."""
    every = list(effects)
    order = [Turn.WORSE, Turn.BETTER, Turn.CHANGED]
    changed = [effect for effect in every if effect.turn is not Turn.SAME]
    changed.sort(key=lambda effect: (order.index(effect.turn), -_step(effect), effect.resolved.question.id))
    return Effects(tuple(changed), len(every), counts=Counter(effect.turn for effect in every))


def _step(effect: Effect) -> float:
    right = effect.after.of_right - effect.before.of_right
    return abs(right) if right else abs(effect.after.probability - effect.before.probability)

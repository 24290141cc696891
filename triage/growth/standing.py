"""How each answer stands: how often it went out, was changed before, and helped; and what is stale."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from triage.pack.schema import Answer

OLD_DAYS = 365  # since it was reviewed
UNUSED_DAYS = 180
MOSTLY_CHANGED = 0.5  # share of uses, from ENOUGH uses on
ENOUGH = 3


@dataclass(frozen=True, slots=True)
class Use:
    """One time an answer went out."""

    answer: str
    thread: int
    on: date
    changed: bool  # a person changed its sentences first
    helped: bool | None  # None: not known
    came_back: bool = False  # the asker wrote again after it


@dataclass(frozen=True, slots=True)
class AnswerStanding:
    """What is known of one answer of the base."""

    answer: str
    title: str
    author: str
    source: str
    reviewed: str
    uses: int = 0
    changed: int = 0
    helped: int = 0
    did_not_help: int = 0
    came_back: int = 0
    last_used: date | None = None
    stale: tuple[str, ...] = ()  # why it should be looked at; empty when it need not be


def standings(
    answers: Iterable[Answer], uses: Sequence[Use], today: date, since: date | None
) -> tuple[AnswerStanding, ...]:
    """The standing of every answer, the stalest first; `since` is when the queue begins, None for an empty one."""
    by_answer: dict[str, list[Use]] = {}
    for use in uses:
        by_answer.setdefault(use.answer, []).append(use)
    every = (_standing(answer, by_answer.get(answer.id, ()), today, since) for answer in answers)
    return tuple(sorted(every, key=lambda one: (-len(one.stale), one.answer)))


def _standing(answer: Answer, uses: Sequence[Use], today: date, since: date | None) -> AnswerStanding:
    plain = AnswerStanding(
        answer.id,
        answer.title,
        answer.author,
        answer.source,
        answer.reviewed,
        len(uses),
        sum(use.changed for use in uses),
        sum(use.helped is True for use in uses),
        sum(use.helped is False for use in uses),
        sum(use.came_back for use in uses),
        max((use.on for use in uses), default=None),
    )
    return replace(plain, stale=tuple(_stale(plain, today, since)))


def _stale(one: AnswerStanding, today: date, since: date | None) -> Iterable[str]:
    if not one.reviewed:
        yield "never reviewed"
    elif (age := (today - date.fromisoformat(one.reviewed)).days) > OLD_DAYS:
        yield f"reviewed {age} days ago"
    if one.last_used is None and since is not None and (today - since).days > UNUSED_DAYS:
        yield f"not used since the queue began, {(today - since).days} days ago"
    elif one.last_used is not None and (today - one.last_used).days > UNUSED_DAYS:
        yield f"last used {(today - one.last_used).days} days ago"
    if one.uses >= ENOUGH and one.changed > MOSTLY_CHANGED * one.uses:
        yield f"changed before it went out in {one.changed} of {one.uses}"
    if one.did_not_help and one.did_not_help >= one.helped:
        yield f"did not help {one.did_not_help} times, helped {one.helped}"

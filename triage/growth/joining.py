"""Two askers with one matter make one proposal; and a proposal is carried onto a base that moved on meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from typing import Any

from triage.growth.overlap import may_meet
from triage.growth.proposal import Kind, Proposal
from triage.pack.schema import Answer

ONE_MATTER = 0.8  # cosine of two canonical questions from which they are one matter
_ADDING = frozenset({Kind.VARIANT, Kind.BRANCH})

Alike = Callable[[str, Sequence[str]], Sequence[float]]


class MovedOn(ValueError):
    """The answer was changed since the proposal was made, in the same place."""


def joined(waiting: Sequence[Proposal], new: Proposal, alike: Alike) -> Proposal | None:
    """The waiting proposal with what the new one brings, when they are of one matter; else None."""
    for known in waiting:
        if known.kind == new.kind and _one_matter(known, new, alike):
            return replace(
                known,
                after=(_both(known.after[0], new, known.before),),
                lines=known.lines + tuple(line for line in new.lines if new.kind in _ADDING),
                threads=tuple(dict.fromkeys((*known.threads, *new.threads))),
                authors=tuple(dict.fromkeys((*known.authors, *new.authors))),
                hazards=tuple(dict.fromkeys((*known.hazards, *new.hazards))),
            )
    return None


def _one_matter(known: Proposal, new: Proposal, alike: Alike) -> bool:
    if len(known.after) != 1 or known.answer != new.answer:
        return False
    mine, theirs = known.after[0], new.after[0]
    if new.kind is not Kind.NEW:
        return new.kind is Kind.VARIANT or mine == theirs
    meets = may_meet(mine.applies_to, theirs.applies_to)
    return meets and max(alike(theirs.question, [mine.question, *mine.variants]), default=0.0) >= ONE_MATTER


def _both(mine: Answer, new: Proposal, before: Sequence[Answer]) -> Answer:
    """The first text stays, for an editor to reword; wordings and hazards of both."""
    theirs = new.after[0]
    asked = [theirs.question] if new.kind is Kind.NEW else []
    variants = dict.fromkeys([*mine.variants, *asked, *theirs.variants])
    variants.pop(mine.question, None)
    return replace(mine, variants=list(variants), hazards=list(dict.fromkeys([*mine.hazards, *theirs.hazards])))


def carried_onto(current: Answer, before: Answer, after: Answer) -> Answer:
    """The change from `before` to `after` made to `current`. Raises MovedOn where both changed one thing otherwise."""
    values: dict[str, Any] = {}
    for one in fields(after):
        was, will, now = (getattr(answer, one.name) for answer in (before, after, current))
        if was == will:
            continue
        if now in (was, will):
            values[one.name] = will
        elif isinstance(now, list):
            values[one.name] = [item for item in now if item in will or item not in was]
            values[one.name] += [item for item in will if item not in was and item not in now]
        else:
            raise MovedOn(f"'{one.name}' of the answer {current.id} was changed since the proposal was made")
    return replace(current, **values)

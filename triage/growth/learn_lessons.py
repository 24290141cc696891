"""What a shop's own work teaches the ranker: what became of each draft, and how much one person's word may count."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from triage.growth.learn_logit import Rows
from triage.pack.schema import Answer
from triage.reply.sentences import blocks, sentences

KEPT = 0.8  # share of the drafted answer's sentences from which it counts as sent as it was
PARTLY = 0.3  # ... from which it counts as edited, and of another answer's from which that one was sent in its place
FEW_WORDS = 12  # a reply of fewer words tells nothing of which answer was right
BY_HAND = 0.5  # weight of a reply that shares nothing with any answer: it may say in other words what the base says
CAP = 4.0  # one person's lessons together count no more than this x the square root of their number


class Became(StrEnum):
    """What became of a draft."""

    SENT = "sent as drafted"
    EDITED = "sent with edits"
    CHANGED = "another answer sent"  # a person took another answer of the base, or one where none was drafted
    REFUSED = "not sent"  # the drafted answer was left out
    BY_HAND = "written by hand"  # nothing was drafted, and nothing of the base was sent


@dataclass(frozen=True, slots=True)
class Feedback:
    """What a person's reply says of the draft it was made from."""

    became: Became
    answer: str = ""  # the answer that was right; of one REFUSED the answer that was not
    weight: float = 1.0


@dataclass(frozen=True)
class Lesson:
    """One question the shop answered, as the ranker saw it, with the rows that may be right."""

    thread: int
    person: str  # who answered
    feedback: Feedback
    rows: Rows
    right: NDArray[np.bool_]  # (answers + 1,)
    weight: float = 1.0


def feedback(drafted: str, sent: str, base: Mapping[str, Answer]) -> Feedback | None:
    """What the text `sent` says of the answer `drafted` (an id, "" where the draft carried none).

    None where it says nothing: a short word, or an answer the base no longer has.
    """
    if len(sent.split()) < FEW_WORDS:
        return None
    said = _cut(sent)
    own = _kept(base[drafted], said) if drafted in base else 0.0
    if own >= PARTLY:
        return Feedback(Became.SENT if own >= KEPT else Became.EDITED, drafted, 1.0 if own >= KEPT else own)
    other, share = _nearest(said, base)
    if share >= PARTLY:
        return Feedback(Became.CHANGED, other, share)
    if drafted:
        return Feedback(Became.REFUSED, drafted) if drafted in base else None
    return Feedback(Became.BY_HAND, "", BY_HAND)


def _nearest(said: frozenset[str], base: Mapping[str, Answer]) -> tuple[str, float]:
    """The answer most of whose sentences were said, and how many of them."""
    shares = ((_kept(answer, said), id) for id, answer in base.items())
    share, id = max(shares, default=(0.0, ""))
    return id, share


def _kept(answer: Answer, said: frozenset[str]) -> float:
    """Share of an answer's sentences that were said; branches the draft left out for other vehicles do not count."""
    own = blocks(answer.text)
    plain = [s for block in own if not block.bullet for s in _sentences(block.text)]
    branches = [bool(_sentences(block.text) & said) for block in own if block.bullet]
    told = sum(s in said for s in plain) + sum(branches)
    return told / max(1, len(plain) + max(1, sum(branches)))


def _cut(text: str) -> frozenset[str]:
    return frozenset(s for block in blocks(text) for s in _sentences(block.text))


def _sentences(text: str) -> frozenset[str]:
    """Sentences without what differs by wrapping and capitals."""
    return frozenset(" ".join(s.lower().split()) for s in sentences(text))


def lesson(thread: int, person: str, told: Feedback, rows: Rows) -> Lesson | None:
    """The lesson of a feedback; None where the ranker cannot learn it: a fact speaks against the answer sent."""
    named = np.array([id == told.answer for id in rows.answers] + [False])
    if told.became is Became.BY_HAND:
        named[-1] = True
    right = ~named if told.became is Became.REFUSED else named
    learnable = right.any() and not right.all()
    return Lesson(thread, person, told, rows, right, told.weight) if learnable else None


def capped(lessons: Sequence[Lesson]) -> tuple[Lesson, ...]:
    """The lessons with weights such that no person's many small feedbacks outweigh what others say.

    >>> round(most_of(9)), round(most_of(100)), round(most_of(2500))
    (9, 40, 200)
    """
    totals: Counter[str] = Counter()
    for item in lessons:
        totals[item.person] += item.weight  # type: ignore[assignment]  # a Counter adds up any number
    share = {person: most_of(total) / total for person, total in totals.items()}
    return tuple(replace(item, weight=item.weight * share[item.person]) for item in lessons)


def most_of(total: float) -> float:
    """The most that lessons of one person, `total` by weight, may count together."""
    return min(total, CAP * math.sqrt(total))


def people(lessons: Iterable[Lesson]) -> tuple[str, ...]:
    """Who gave lessons, in the order of their names."""
    return tuple(sorted({item.person for item in lessons}))


def without(lessons: Iterable[Lesson], person: str) -> Iterator[Lesson]:
    """The lessons of all others."""
    return (item for item in lessons if item.person != person)

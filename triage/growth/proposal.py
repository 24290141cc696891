"""The values of the growth room: what is proposed for the answer base, and what speaks about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from triage.model import Span
from triage.pack.schema import Answer


class Kind(StrEnum):
    """What a proposal does to the answer base."""

    NEW = "new"  # before: none, after: one
    VARIANT = "variant"  # another way the question is asked
    SCOPE = "scope"  # applies to more vehicles, or to fewer
    BRANCH = "branch"  # one more "If ...:"
    REWORDING = "rewording"
    MERGE = "merge"  # before: several, after: one
    SPLIT = "split"  # before: one, after: several


class State(StrEnum):
    """Where a proposal stands."""

    WAITING = "waiting"
    TAKEN = "taken"
    REFUSED = "refused"


class Origin(StrEnum):
    """What kind of text a sentence comes from."""

    REPLY = "reply"  # sent to the asker
    PHONE = "phone note"
    ON_AIR = "on air"
    ASKED = "asked"  # the asker's own words
    BASE = "base"  # stands in the answer already
    EDITOR = "editor"  # put so by the person who reviews


@dataclass(frozen=True, slots=True)
class Said:
    """Where something was said: a stretch of a reply, a note, a message or an answer."""

    origin: Origin
    text: str  # the words as they were said there
    thread: int = 0  # 0 where no thread is meant
    place: str = ""  # message id (asked), "reply 2" (the second sent), answer id (base), who (editor)
    span: Span | None = None  # into that text; None for the whole of it


@dataclass(frozen=True, slots=True)
class Line:
    """One sentence or clause of a proposed answer, with where it was said."""

    text: str
    said: tuple[Said, ...] = ()


@dataclass(frozen=True, slots=True)
class Proposal:
    """A change to the answer base that waits for an editor.

    `before` is what leaves the base and `after` what comes in its place; both hold whole records, so that any kind of
    proposal is taken in the same way.
    """

    id: int  # the store's number; 0 until it is kept
    kind: Kind
    before: tuple[Answer, ...]
    after: tuple[Answer, ...]
    lines: tuple[Line, ...] = ()  # of what is new or changed
    threads: tuple[int, ...] = ()
    askers: int = 1  # different persons who asked it
    authors: tuple[str, ...] = ()  # who wrote or said the sentences
    hazards: tuple[str, ...] = ()  # of all answers after
    made: date = date.min
    state: State = State.WAITING
    reason: str = ""  # why it was made; once decided, why it was refused
    agreed: tuple[str, ...] = ()  # who has agreed so far, where two persons must

    @property
    def answer(self) -> str | None:
        """Id of the answer touched (the first of several); None for a new one."""
        return self.before[0].id if self.before else None

    @property
    def title(self) -> str:
        """The title of what comes out of it."""
        return "; ".join(answer.title for answer in self.after)


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Two sentences that cannot both be right for a vehicle both answers are for."""

    answer: str  # id of the answer in the base
    sentence: str  # of the proposal
    other: str  # of that answer
    kind: str  # "number" | "direction" | "part" | "permission" | "polarity"
    says: str = ""  # in plain words: "38 V against 42 V"
    vehicles: tuple[str, ...] = ()  # ids of the catalogue's vehicles both are for; empty when any


@dataclass(frozen=True, slots=True)
class Neighbour:
    """An answer of the base that is near to a proposed one."""

    answer: str
    likeness: float  # cosine of meanings, -1..1
    overlap: float  # share of the proposal's vehicles that the answer is for too, 0..1


@dataclass(frozen=True, slots=True)
class Topic:
    """A matter that is asked and badly answered, or not at all."""

    name: str  # in its own words
    words: tuple[str, ...]  # the most telling first
    threads: tuple[int, ...]
    askers: int
    days: int  # since it was first asked
    minutes: float  # of staff time so far
    asked: tuple[date, ...] = ()  # the day of each thread, in their order


def applied(answers: Sequence[Answer], proposal: Proposal) -> tuple[Answer, ...]:
    """The base with a proposal taken: what is new stands where the first of the old stood, else at the end."""
    gone = {answer.id for answer in proposal.before}
    places = [place for place, answer in enumerate(answers) if answer.id in gone]
    place = places[0] if places else len(answers)
    kept = [[a for a in part if a.id not in gone] for part in (answers[:place], answers[place:])]
    return (*kept[0], *proposal.after, *kept[1])

"""The values of the weekly hour: a question that could be on, the place it got, what was left out, what was said."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

PUZZLING = 0.4  # of 0..1: from here on a question without an answer is worth reasoning about
WHO = "{who}"  # stands for the asker in a question retold


class Depth(StrEnum):
    """How much there is to say."""

    SHORT = "short"  # one fact, one part, one figure
    WORKED = "worked"  # an answer with steps or cases
    PUZZLE = "puzzle"  # several causes, or things that do not fit together


class Wish(StrEnum):
    """What the host wants of one question."""

    LOCK = "lock"  # it is on
    VETO = "veto"  # it is not on


class Spoken(StrEnum):
    """What became of a question in the hour."""

    SAID = "said"  # as on the sheet
    CHANGED = "changed"  # said otherwise; the note tells how
    POSTPONED = "postponed"  # not reached: carried over
    ASKED_BACK = "asked_back"  # the asker was asked for a fact


@dataclass(frozen=True, slots=True)
class Missing:
    """A fact nobody told, and what the host says meanwhile."""

    fact: str
    label: str  # "powertrain"
    says: str  # "not told: electric or petrol - say both"
    ask: str  # what to ask the asker for


@dataclass(frozen=True, slots=True)
class Essentials:
    """What a host needs beside the question, free of the asker's particulars."""

    known: tuple[str, ...] = ()  # "2009 Tarvik Lark", "electric", "48 V"
    missing: tuple[Missing, ...] = ()
    causes: tuple[str, ...] = ()  # likeliest first
    checks: tuple[str, ...] = ()  # in the order to make them
    answer: tuple[str, ...] = ()  # worded to be said; a line for each case ("If it clicks: ...") and each paragraph
    numbers: tuple[str, ...] = ()  # to have ready: "50 to 85 lb·ft"
    safety: tuple[str, ...] = ()  # to be said, the most severe first
    hazards: tuple[str, ...] = ()  # hazard ids of it


@dataclass(frozen=True, slots=True)
class Candidate:
    """A question that could be on, with all that choosing and the sheet need."""

    thread: int
    retold: str  # the question in one sentence, told of "{who}"; `question` puts the name or "a reader" there
    words: str = ""  # the asker's own, particulars taken out, cut at the end of a sentence
    asker: str = ""  # first name; said only when `agreed`
    agreed: bool = False
    waiting_days: int = 0
    same: int = 1  # askers with the same matter, this one included
    topic: str = ""  # same matter, same topic
    about: str = ""  # in a word or two, to be said: "wheel nuts"
    vehicle: str = ""
    system: str = ""  # the part of the cart it is about
    depth: Depth = Depth.WORKED
    answerable: bool = False  # there is an answer to give now
    sure: float = 0.0  # probability that it is the right one
    season: float = 0.0  # 0..1: how much it is asked at this time of the year
    puzzle: float = 0.0  # 0..1: how much there is to reason about
    seasons: tuple[str, ...] = ()  # why now: "batteries before winter"
    carried: bool = False  # it was on the last sheet, and there was no time
    aired: tuple[date, ...] = ()  # programmes in which this topic was said
    unsafe: tuple[str, ...] = ()  # why it must not be said in public; any one of them keeps it out
    held: tuple[str, ...] = ()  # why a person should look first; a lock says that somebody did
    minutes: float = 3.0  # as spoken, pauses included
    essentials: Essentials = field(default_factory=Essentials)

    @property
    def name(self) -> str:
        """How the asker is called aloud: by the first name only when they agreed."""
        return self.asker if self.agreed and self.asker else "a reader"

    @property
    def has_something(self) -> bool:
        """True when there is something to say: an answer, or enough to reason about."""
        return self.answerable or self.puzzle >= PUZZLING

    @property
    def may_be_chosen(self) -> bool:
        """True when it may be on without the host saying so."""
        return self.has_something and not (self.unsafe or self.held or self.aired)

    @property
    def question(self) -> str:
        """The question in one sentence, of the asker by name when they agreed."""
        sentence = self.retold.replace(WHO, self.name)
        return sentence[:1].upper() + sentence[1:]


@dataclass(frozen=True, slots=True)
class Slot:
    """A question that is on: its place from 1, and why."""

    candidate: Candidate
    place: int
    minutes: float
    locked: bool = False
    reason: str = ""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A question that is not on, and why; `spare` ones could still be taken when there is time."""

    candidate: Candidate
    reason: str
    spare: bool = False


@dataclass(frozen=True, slots=True)
class Tip:
    """The safety tip of the week."""

    id: str
    text: str  # as it is said
    source: str


@dataclass(frozen=True, slots=True)
class Programme:
    """One hour as planned, or as it was once `aired`. Day and minutes are the host's."""

    day: date
    minutes: float  # the whole time on air
    reserve: float  # of it, minutes kept for live questions
    slots: tuple[Slot, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    opening: str = ""
    tip: Tip | None = None
    closing: str = ""
    worth: float = 0.0  # what the objective comes to
    aired: bool = False  # never changed after that
    note: str = ""  # for the host: what is odd about this plan

    @property
    def threads(self) -> frozenset[int]:
        """Every question looked at for it, on or not."""
        looked_at: list[Slot | LeftOut] = [*self.slots, *self.left_out]
        return frozenset(one.candidate.thread for one in looked_at)

    @property
    def spares(self) -> tuple[Candidate, ...]:
        """What could be added when there is time, best first."""
        return tuple(left.candidate for left in self.left_out if left.spare)


@dataclass(frozen=True, slots=True)
class Said:
    """What happened to one question in the hour, or a live question (`thread` 0) with its words."""

    day: date
    thread: int
    how: Spoken
    note: str = ""  # what was said instead, or is to be asked
    words: str = ""  # of a live question, as typed
    seconds: float = 0.0  # it took; 0 when not known
    by: str = ""
    at: datetime | None = None

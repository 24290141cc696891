"""The values the store takes and gives back: frozen, and free of the database."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from triage.model import Address, Decision, Draft, Fact, FactValue, Message, Question, Reading, Rejected
from triage.store.states import OPEN, ThreadState

# Ranks of danger: 0-3 for DANGER to NOTICE happening now, 5-8 for the same as a possibility. What nobody and
# nothing has read yet stands between: it may hold anything.
UNREAD = 4
NO_DANGER = 9

FOUND_MARKS = ("\x02", "\x03")  # control characters, so that no text of an asker looks like one


class Arrival(StrEnum):
    """What became of something taken in."""

    NEW = "new"
    DUPLICATE = "duplicate"  # was here already: nothing changed
    AUTOMATIC = "automatic"  # kept, but no person waits for a reply
    REJECTED = "rejected"  # set aside with its reason


@dataclass(frozen=True, slots=True)
class TakenIn:
    """The outcome of taking one thing in."""

    arrival: Arrival
    thread: int | None = None  # None for what was rejected
    message: str = ""  # id under which the message is kept; differs from Message.id when that was taken


@dataclass(frozen=True, slots=True)
class Summary:
    """One-line strings for the queue, worded by the caller."""

    vehicle: str = ""
    wrong: str = ""  # what is wrong, or what is asked
    missing: tuple[str, ...] = ()  # facts still to ask for


@dataclass(frozen=True, slots=True)
class QueueRow:
    """One line of the queue."""

    thread: int
    asker: Address
    subject: str
    state: ThreadState
    danger: int  # 0 (DANGER, happening now) to NO_DANGER; UNREAD until a reading was saved
    decision: Decision | None  # None until a reading was saved
    waiting_since: datetime
    messages: int
    summary: Summary = Summary()
    found: str = ""  # search only: the words found in their place, each between the two FOUND_MARKS


@dataclass(frozen=True, slots=True)
class Filters:
    """What to list; every filter given must hold."""

    states: tuple[ThreadState, ...] = OPEN
    decision: Decision | None = None
    danger_up_to: int | None = None  # 3: only what is happening; UNREAD: with what was not read
    asker: str = ""  # part of a name or address
    missing: str = ""  # one of the strings given as Summary.missing
    facts: Mapping[str, FactValue] = field(default_factory=dict)  # {"powertrain": "electric"}
    limit: int = 100
    offset: int = 0


@dataclass(frozen=True, slots=True)
class DraftVersion:
    """A draft as it was saved; version 1 is the oldest."""

    version: int
    draft: Draft
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Reply:
    """What was sent or told to the asker."""

    text: str
    by: str
    at: datetime
    subject: str = ""
    how: str = "mail"  # "mail" | "phone" | "on air"...
    message_id: str = ""  # of the mail sent, so that its answer finds the thread
    draft: int = 0  # version of the draft it was made from; 0 when there was none
    changed: str = ""  # unified diff by sentence from that draft to what was sent; "" when nothing was changed


@dataclass(frozen=True, slots=True)
class SavedReading:
    """A reading as it was saved, with the pack it was made with."""

    reading: Reading
    pack_digest: str
    by: str
    at: datetime
    round: int  # readings saved together share a round; the highest of a thread is the present one


@dataclass(frozen=True, slots=True)
class SetAsideMail:
    """Something that could not be taken in, and when."""

    rejected: Rejected
    at: datetime


@dataclass(frozen=True, slots=True)
class Thread:
    """A conversation with all that is known about it. Messages come without their raw bytes."""

    id: int
    subject: str
    asker: Address
    state: ThreadState
    danger: int
    decision: Decision | None
    opened_at: datetime
    waiting_since: datetime
    summary: Summary
    outcome: str  # what helped, in a person's words; empty unless settled
    messages: tuple[Message, ...] = ()
    questions: tuple[Question, ...] = ()
    readings: tuple[SavedReading, ...] = ()  # the present round only
    facts: tuple[Fact, ...] = ()  # set by a person; they override what was read
    drafts: tuple[DraftVersion, ...] = ()
    replies: tuple[Reply, ...] = ()


class Same(StrEnum):
    """What a thread has in common with an earlier one."""

    ASKER = "asker"
    ADDRESS = "address, but not the name"
    VEHICLE = "vehicle"  # by its serial number; else by make, model and year of the same asker


@dataclass(frozen=True, slots=True)
class Prior:
    """An earlier thread of the same asker or vehicle."""

    thread: int
    when: datetime  # when it was opened
    state: ThreadState
    summary: Summary
    outcome: str  # what helped; empty unless settled
    facts: tuple[Fact, ...] = ()  # as read at last, with those set by a person in their place; message is filled in
    same: tuple[Same, ...] = ()
    channel: str = ""
    messages: tuple[str, ...] = ()  # ids: a fact of another message was carried over from a thread before


class What(StrEnum):
    """The kinds of history entry."""

    ARRIVED = "arrived"
    STATE = "state"
    UNDO = "undo"
    READING = "reading saved"
    DRAFT = "draft saved"
    KEPT_APART = "words kept apart"
    NOTE_DROPPED = "safety note left out"
    REPLY = "reply recorded"
    NOTE = "note"
    FACT = "fact set"
    FACT_WITHDRAWN = "fact withdrawn"
    JOINED = "threads joined"
    SPLIT = "message split off"
    REJECTED = "rejected"
    SETTING = "setting"
    FORGOTTEN = "person forgotten"
    STAFF = "staff"
    PROGRAMME = "programme"
    PROPOSAL = "proposal"


@dataclass(frozen=True, slots=True)
class HistoryEntry:
    """Who did what, when; `before` and `after` hold plain JSON values."""

    id: int
    thread: int | None
    at: datetime
    by: str
    what: What
    before: Mapping[str, object]
    after: Mapping[str, object]

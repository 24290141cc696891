"""The values that travel between the rooms: frozen, plain, and free of behaviour that needs the outside."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

FactValue = str | int | float | tuple[float, ...]


class Standing(StrEnum):
    """How the asker stands to what was said; one axis, the most decisive mark wins."""

    STATED = "stated"
    HEDGED = "hedged"  # "I think", "maybe", "the dealer said"
    INFERRED = "inferred"  # from a rule or the catalogue, never from the asker's words alone
    CORRECTED = "corrected"  # holds, and replaces something said before
    DENIED = "denied"  # "not lifted"; also the value a correction took back
    PLANNED = "planned"  # "can I go 48?"
    PAST = "past"  # "used to do 19"
    OTHER = "other"  # another person's or a former vehicle

    @property
    def holds(self) -> bool:
        """True when the fact may be used as true of the asker's vehicle today."""
        return self in _HOLDING


_HOLDING = frozenset({Standing.STATED, Standing.HEDGED, Standing.INFERRED, Standing.CORRECTED})


class Decision(StrEnum):
    """What may be done with a question next."""

    ANSWER = "answer"  # safe and specific enough to send after a look
    ASK = "ask"  # gaps decide it
    HAND_OVER = "hand_over"  # a person must look first
    NO_ANSWER = "no_answer"  # nothing in the base fits


class Signal(StrEnum):
    """Signal words with their ANSI Z535.4 / ISO 3864-2 meaning, most severe first."""

    DANGER = "DANGER"  # will result in death or serious injury if not avoided
    WARNING = "WARNING"  # could result in death or serious injury
    CAUTION = "CAUTION"  # could result in minor or moderate injury
    NOTICE = "NOTICE"  # property damage only

    @property
    def rank(self) -> int:
        """0 for DANGER up to 3 for NOTICE: sorts the most severe first."""
        return _SIGNAL_ORDER.index(self)


_SIGNAL_ORDER = [Signal.DANGER, Signal.WARNING, Signal.CAUTION, Signal.NOTICE]


@dataclass(frozen=True, slots=True)
class Span:
    """Half-open character range into the text as given."""

    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing known about a vehicle: name, value and unit, with its evidence and standing."""

    name: str  # a fact id of the pack, e.g. "pack_voltage"
    value: FactValue
    unit: str = ""  # "V", "in", "mph"; empty where none applies
    standing: Standing = Standing.STATED
    span: Span | None = None  # the asker's own words; None only for a fact set by a person
    basis: str = ""  # the rule that read it, in words a support person understands
    vehicle: int = 1  # 1 for the asker's first vehicle, 2 for the second
    what: str = ""  # measurements only: the thing measured, "pack voltage"
    condition: str = ""  # measurements and symptoms: "at rest", "uphill"
    message: str = ""  # id of the earlier message it was said in; "" = this one
    mentions: tuple[Span, ...] = ()  # further places where the same is said; span is the first


@dataclass(frozen=True, slots=True)
class Conflict:
    """Facts that cannot all be true, in plain words."""

    id: str
    facts: tuple[str, ...]  # fact names
    says: str
    ask: str = ""  # polite question that would settle it
    source: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """Something the asker's own readings show, worked out from them: one battery low against the others."""

    id: str
    facts: tuple[str, ...]  # fact names
    says: str
    source: str = ""


@dataclass(frozen=True, slots=True)
class Gap:
    """A missing (or hedged) fact that would change what we say."""

    fact: str
    ask: str
    worth: float  # expected gain in probability of the right answer, less cost; 0..1
    find_out: str = ""  # how the asker finds it out


@dataclass(frozen=True, slots=True)
class Match:
    """An answer of the base with its calibrated probability."""

    answer: str
    probability: float
    why: tuple[str, ...] = ()
    against: tuple[str, ...] = ()
    near: bool = False  # for a near neighbour of the vehicle told; shown as such, never sent without asking
    plausible: bool = False  # of the set that is to hold the right answer in 9 of 10 questions that have one
    unlisted: bool = False  # for listed vehicles, and the one told is not listed; nothing told speaks against it
    untold: tuple[str, ...] = ()  # facts its range turns on that nobody told


@dataclass(frozen=True, slots=True)
class CauseBelief:
    """A cause with its posterior probability."""

    cause: str
    probability: float


@dataclass(frozen=True, slots=True)
class CheckStep:
    """One check in the order to make them."""

    check: str
    cause: str  # the likeliest cause it examines
    cost: float  # minutes, with tools and danger counted in
    expected: str  # what each outcome means
    text: str = ""
    hazards: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HazardNote:
    """A way to get hurt, with the note that goes into the reply."""

    hazard: str
    signal: Signal
    note: str
    short: str = ""
    stop: bool = False  # the asker should stop using the vehicle now
    urgent: bool = False  # reported as happening, not merely possible in the work proposed
    span: Span | None = None
    basis: str = ""
    message: str = ""  # id of the earlier message it was told in; "" = this one
    emergency: bool = False  # everybody away, and the emergency services


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence of a draft, tied to where it came from: "answer:ID", "check:ID", "wording:KEY"..."""

    text: str
    source: str
    paragraph: int = 0
    bullet: bool = False


@dataclass(frozen=True, slots=True)
class Draft:
    """A reply, sentence by sentence."""

    subject: str
    sentences: tuple[Sentence, ...] = ()
    reading_ease: float | None = None  # Flesch reading ease; None when there is no text

    @property
    def body(self) -> str:
        """The reply as plain text: paragraphs set apart by blank lines, bullets on their own lines."""
        paragraphs: dict[int, list[Sentence]] = {}
        for sentence in self.sentences:
            paragraphs.setdefault(sentence.paragraph, []).append(sentence)
        return "\n\n".join(_paragraph_text(group) for _, group in sorted(paragraphs.items()))


def _paragraph_text(sentences: list[Sentence]) -> str:
    text = ""
    for sentence in sentences:
        if sentence.bullet:
            text += ("\n" if text else "") + sentence.text
        else:
            text += (" " if text and not text.endswith("\n") else "") + sentence.text
    return text


@dataclass(frozen=True, slots=True)
class Reading:
    """Everything known about one question: the one result that flows through the program."""

    id: str
    facts: tuple[Fact, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    findings: tuple[Finding, ...] = ()
    gaps: tuple[Gap, ...] = ()
    matches: tuple[Match, ...] = ()
    decision: Decision = Decision.NO_ANSWER
    reasons: tuple[str, ...] = ()  # why this decision
    unsure: bool = False  # handed over only because no answer is sure: free and safe checks may be proposed meanwhile
    causes: tuple[CauseBelief, ...] = ()
    checks: tuple[CheckStep, ...] = ()
    hazards: tuple[HazardNote, ...] = ()
    draft: Draft = Draft(subject="")
    timing_ms: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Address:
    """A mail address with its display name; the address is lower case."""

    email: str
    name: str = ""


@dataclass(frozen=True, slots=True)
class Attachment:
    """A part that is not text: named and counted; its bytes stay in the raw message."""

    name: str
    content_type: str
    size: int  # bytes


@dataclass(frozen=True, slots=True)
class Message:
    """One thing that arrived, cleaned: the asker's own words apart from what was quoted or signed."""

    id: str  # Message-ID without <>, or "sha256:..." of the content where there is none
    channel: str  # "mail" | "form" | "chat" | "phone"
    sender: Address
    subject: str = ""
    sent: datetime | None = None  # timezone-aware; None when the date cannot be read
    text: str = ""  # the asker's own words
    quoted: str = ""  # set aside: quoted history
    forwarded: str = ""  # set aside: forwarded blocks
    signature: str = ""  # set aside
    in_reply_to: tuple[str, ...] = ()
    references: tuple[str, ...] = ()
    to: tuple[Address, ...] = ()
    reply_to: Address | None = None
    automatic: str = ""  # why it is automatic mail; "" for a person's message
    attachments: tuple[Attachment, ...] = ()
    notes: tuple[str, ...] = ()  # what was mended on the way in ("charset unknown-8bit read as cp1252")
    raw: bytes = field(default=b"", repr=False)  # the bytes as they came


@dataclass(frozen=True, slots=True)
class Rejected:
    """Something that could not be taken in: set aside with its reason and its bytes."""

    source: str  # file and position, e.g. "inbox.mbox, message 17 (byte 40211)"
    reason: str
    raw: bytes = field(default=b"", repr=False)


@dataclass(frozen=True, slots=True)
class Question:
    """One thing asked. Offsets of facts are into `text`."""

    id: str
    text: str
    subject: str = ""
    asker: str = ""  # display name, where given
    message: str = ""  # id of the message it stands in
    offset: int = 0  # where `text` starts in the message's text
    context: str = ""  # what the asker wrote earlier in the thread

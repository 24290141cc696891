"""What is known of one thread when a programme is planned: the input of this room, put together by the producer."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date

from triage.language.private import Particulars
from triage.model import Draft, Reading
from triage.pack import Pack

_NO_DRAFT = Draft("")


@dataclass(frozen=True, slots=True)
class Asked:
    """One thread: who asked what, and what was read from it."""

    thread: int
    text: str  # the question, as it was first asked
    latest: str  # the newest message of the asker
    reading: Reading
    asker: str  # tells askers apart: address, else name
    name: str = ""  # first name
    people: Particulars = field(default_factory=Particulars)
    agreed: bool = False
    cart: str = ""  # "a 2009 Tarvik Lark, electric, 48 V"
    trouble: str = ""  # "it clicks but will not move"
    aloud: Draft = _NO_DRAFT  # the reply worded to be read out
    written: Draft = _NO_DRAFT  # the same as a mail: figures as figures
    waiting_days: int = 0
    waits: bool = True  # False when it was answered already
    postponed: bool = False  # it was on the last sheet, and there was no time
    said_on: tuple[date, ...] = ()  # programmes in which this very question was said


@dataclass(frozen=True, slots=True)
class Week:
    """What surrounds a programme.

    `phrase` gives the pack's wording by its key; `say` turns text into words to be spoken; `seconds` says how long
    words take.
    """

    day: date
    pack: Pack
    phrase: Callable[..., str]
    say: Callable[[str], str]
    seconds: Callable[[str], float]
    aired: Mapping[str, tuple[date, ...]] = field(default_factory=dict)  # topic -> days it was said

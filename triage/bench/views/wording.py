"""The workbench's own words for standings, decisions, states, times and values."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Protocol

from triage.desk import READER
from triage.model import Decision, Fact, FactValue, HazardNote, Standing
from triage.pack import Pack
from triage.store import ThreadState

STANDING = {  # a short word, so that nothing hangs on how a line is drawn
    Standing.STATED: "",
    Standing.HEDGED: "unsure",
    Standing.INFERRED: "worked out",
    Standing.CORRECTED: "corrected",
    Standing.DENIED: "not so",
    Standing.PLANNED: "planned",
    Standing.PAST: "used to be",
    Standing.OTHER: "another’s",
}
DECISION = {
    Decision.ANSWER: "can be answered",
    Decision.ASK: "ask first",
    Decision.HAND_OVER: "look first",
    Decision.NO_ANSWER: "no answer yet",
}
DECISION_SAYS = {
    Decision.ANSWER: "It can be answered: look it over and send it.",
    Decision.ASK: "Ask first: something is missing that decides it.",
    Decision.HAND_OVER: "You need to look at this first.",
    Decision.NO_ANSWER: "Nothing in the answer base fits.",
}
STATE = {
    ThreadState.NEW: "not read yet",
    ThreadState.READY: "draft ready",
    ThreadState.WAITING_FOR_ASKER: "asked back",
    ThreadState.REPLIED: "replied",
    ThreadState.SETTLED: "settled",
    ThreadState.SET_ASIDE: "put aside",
    ThreadState.AUTOMATIC: "automatic",
}


class Labelled(Protocol):
    """A record of the pack that has words for its id."""

    @property
    def label(self) -> str: ...


def label(records: Mapping[str, Labelled], name: str) -> str:
    """The pack's words for an id; the id itself, spaced, when the pack no longer has it."""
    return records[name].label if name in records else name.replace("_", " ")


def plain(value: FactValue) -> str:
    """A value as people write it.

    >>> plain(48.0), plain((6.1, 6.2)), plain("agm")
    ('48', '6.1 6.2', 'agm')
    """
    if isinstance(value, tuple):
        return " ".join(f"{item:g}" for item in value)
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def value_words(fact: Fact, pack: Pack) -> str:
    """What a fact says, with unit and condition."""
    value = label(pack.symptoms, str(fact.value)) if fact.name == "symptom" else plain(fact.value)
    what = f"{fact.what}: " if fact.name == "measurement" and fact.what else ""
    condition = f" ({fact.condition})" if fact.condition else ""
    return f"{what}{value} {fact.unit}".strip().replace("_", " ") + condition


def waiting(now: datetime, since: datetime) -> str:
    """How long somebody has waited, in the largest whole unit.

    >>> from datetime import UTC
    >>> waiting(datetime(2026, 11, 25, 12, tzinfo=UTC), datetime(2026, 11, 25, 9, tzinfo=UTC))
    '3 h'
    """
    minutes = max(0, int((now - since).total_seconds() // 60))
    if minutes < 60:
        return f"{minutes} min"
    hours = minutes // 60
    return f"{hours} h" if hours < 48 else f"{hours // 24} days"


def day_and_time(moment: datetime | None) -> str:
    """ "14 Nov 2026, 17:45"; "no date" for none."""
    return f"{moment:%d %b %Y, %H:%M}".lstrip("0") if moment else "no date"


def how_told(note: HazardNote) -> str:
    """How a danger comes into it."""
    if note.message:
        return "told earlier"
    if note.urgent:
        return "happening"
    return "in the words" if note.span else "in the work"


def share(probability: float) -> str:
    """A probability as a whole percentage, never 0 or 100: nothing is certain.

    >>> share(0.874), share(0.999), share(0.001)
    ('87 %', '99 %', '1 %')
    """
    return f"{min(99, max(1, round(probability * 100)))} %"


def signer(by: str) -> str:
    """Who made a change; the program is called so."""
    return "the program" if by == READER else by


def origin(basis: str, pack: Pack) -> str:
    """Why a danger is named: the asker's words, what was understood of them, or what brings it."""
    words = basis.removeprefix("words: ")
    kind, _, name = words.partition(" ")
    if kind in _BROUGHT_BY:
        return _BROUGHT_BY[kind]
    if kind == "facts:":
        return "because of " + " ".join(_known_as(word, pack) for word in name.split())
    return words


_BROUGHT_BY = {"answer": "the answer’s steps bring it", "check": "a check brings it"}


def _known_as(word: str, pack: Pack) -> str:
    if word == "symptom":
        return ""
    return label(pack.symptoms if word in pack.symptoms else pack.facts, word)

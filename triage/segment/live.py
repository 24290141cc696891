"""The hour as it runs: what is being said, since when, what was noted. A pure step from one state to the next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from pydantic import TypeAdapter

from triage.segment.clock import Advice, advice
from triage.segment.programme import Programme, Spoken
from triage.segment.timing import WORDS_PER_MINUTE

OPENING, LIVE, CLOSING = "opening", "live", "closing"
REMEMBERED = 400  # presses by their id, so that one sent twice counts once
GLANCE = 15.0  # s; a place looked at for less was turned to by mistake
LONGEST_NOTE = 2_000  # characters


@dataclass(frozen=True, slots=True)
class Noted:
    """What became of a question."""

    how: Spoken
    text: str = ""


@dataclass(frozen=True, slots=True)
class Hour:
    """The state of the live page. Moments are seconds since 1970, lengths seconds; places are
    "opening", a thread number, "live", "closing"."""

    begun: float = 0.0  # 0: not yet
    at: str = OPENING
    since: float = 0.0
    spent: Mapping[str, float] = field(default_factory=dict)
    notes: Mapping[str, Noted] = field(default_factory=dict)
    added: tuple[int, ...] = ()  # spare questions taken in
    asked: tuple[str, ...] = ()  # live questions, as typed
    seen: tuple[str, ...] = ()  # ids of the presses so far


@dataclass(frozen=True, slots=True)
class Press:
    """One thing the host did: "begin", "turn" to a place, "note" a question, "add" a spare, "ask" a live question."""

    id: str
    kind: str
    moment: float
    place: str = ""
    how: Spoken = Spoken.SAID
    text: str = ""


_HOUR = TypeAdapter(Hour)


def hour_from(text: str) -> Hour:
    """The state kept as JSON; a fresh one for an empty text."""
    return _HOUR.validate_json(text) if text else Hour()


def hour_to(hour: Hour) -> str:
    """The state as JSON."""
    return _HOUR.dump_json(hour).decode()


def places(programme: Programme, hour: Hour) -> tuple[str, ...]:
    """Every place of the hour in its order; added questions come after the planned ones."""
    threads = [slot.candidate.thread for slot in programme.slots]
    more = [thread for thread in hour.added if thread not in threads]
    return (OPENING, *map(str, (*threads, *more)), LIVE, CLOSING)


def after(hour: Hour, press: Press, programme: Programme) -> Hour:
    """The state after a press; the same press again changes nothing. An unknown kind or place is ignored."""
    if press.id in hour.seen:
        return hour
    stepped = _stepped(hour, press, programme)
    return replace(stepped, seen=(*hour.seen, press.id)[-REMEMBERED:])


def _stepped(hour: Hour, press: Press, programme: Programme) -> Hour:
    known = places(programme, hour)
    if press.kind == "begin" and not hour.begun:
        return replace(hour, begun=press.moment, since=press.moment, at=OPENING)
    if press.kind == "turn" and press.place in known:
        return _turned(hour, press.place, press.moment)
    if press.kind == "note" and press.place in known and press.place.isdigit():
        noted = replace(hour, notes={**hour.notes, press.place: Noted(press.how, press.text[:LONGEST_NOTE])})
        return _turned(noted, following(known, noted), press.moment) if press.place == hour.at else noted
    if press.kind == "add" and press.place in {str(one.thread) for one in programme.spares} - set(known):
        return replace(hour, added=(*hour.added, int(press.place)))
    if press.kind == "ask" and press.text.strip():
        return replace(_turned(hour, LIVE, press.moment), asked=(*hour.asked, press.text.strip()[:LONGEST_NOTE]))
    return hour


def _turned(hour: Hour, place: str, moment: float) -> Hour:
    begun = hour.begun or moment
    spent = {**hour.spent, hour.at: spent_on(hour, hour.at, moment)} if hour.begun else hour.spent
    return replace(hour, begun=begun, at=place, since=moment, spent=spent)


def spent_on(hour: Hour, place: str, moment: float) -> float:
    """Seconds on a place so far."""
    now = max(0.0, moment - hour.since) if hour.begun and hour.at == place else 0.0
    return hour.spent.get(place, 0.0) + now


def following(known: tuple[str, ...], hour: Hour) -> str:
    """The next place that is not through; from the live questions back to the sheet; at the end the closing."""
    ahead = known[1:-1] if hour.at == LIVE else known[known.index(hour.at) + 1 :]
    return next((place for place in ahead if place != hour.at and not is_through(hour, place)), CLOSING)


def is_through(hour: Hour, place: str) -> bool:
    """True for a question that was noted, or was on for more than a moment."""
    return place in hour.notes or (place.isdigit() and place != hour.at and hour.spent.get(place, 0.0) > GLANCE)


def advice_at(programme: Programme, hour: Hour, moment: float, rate: float = WORDS_PER_MINUTE) -> Advice:
    """How the hour stands at a moment."""
    through = {int(place) for place in (*hour.notes, *hour.spent) if place.isdigit() and is_through(hour, place)}
    return advice(
        programme,
        max(0.0, moment - hour.begun) if hour.begun else 0.0,
        handled=through,
        at=int(hour.at) if hour.at.isdigit() else 0,
        spent=spent_on(hour, hour.at, moment),
        live=spent_on(hour, LIVE, moment),
        begun=bool(hour.begun) and hour.at != OPENING,
        rate=rate,
    )

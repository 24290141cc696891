"""What the page for the live hour shows: pure, from a programme and the state of its hour."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from triage.segment.clock import GRACE, Advice
from triage.segment.live import CLOSING, LIVE, OPENING, Hour, places
from triage.segment.programme import Candidate, Programme, Spoken

HOW: Mapping[Spoken, str] = {
    Spoken.SAID: "said",
    Spoken.CHANGED: "said otherwise",
    Spoken.POSTPONED: "put off",
    Spoken.ASKED_BACK: "asked back",
}


@dataclass(frozen=True, slots=True)
class ItemView:
    """One place of the hour, with all that its page part shows."""

    place: str
    mark: str  # "3" for the third question, else ""
    title: str
    seconds: int  # planned
    lines: tuple[str, ...] = ()  # to be said
    candidate: Candidate | None = None
    noted: str = ""
    note: str = ""
    added: bool = False


@dataclass(frozen=True, slots=True)
class Standing:
    """How the hour stands, in words and for the script."""

    says: str
    drop: tuple[str, ...]
    add: str


def items(programme: Programme, hour: Hour, frame: Mapping[str, float]) -> tuple[ItemView, ...]:
    """Every place in order; `frame` holds the seconds of opening and closing."""
    questions = {str(one.thread): one for one in (*(slot.candidate for slot in programme.slots), *programme.spares)}
    tip = (programme.tip.text,) if programme.tip else ()
    fixed = {
        OPENING: ItemView(OPENING, "", "Opening", round(frame[OPENING]), (programme.opening, *tip)),
        LIVE: ItemView(LIVE, "", "Live questions", round(programme.reserve * 60)),
        CLOSING: ItemView(CLOSING, "", "Closing", round(frame[CLOSING]), (programme.closing,)),
    }
    shown, mark = [], 0
    for place in places(programme, hour):
        if place in questions:
            mark += 1
        shown.append(fixed.get(place) or _question(place, str(mark), questions[place], hour))
    return tuple(shown)


def _question(place: str, mark: str, candidate: Candidate, hour: Hour) -> ItemView:
    noted = hour.notes.get(place)
    return ItemView(
        place,
        mark,
        candidate.about[:1].upper() + candidate.about[1:] or candidate.question,
        round(candidate.minutes * 60),
        candidate=candidate,
        noted=HOW[noted.how] if noted else "",
        note=noted.text if noted else "",
        added=candidate.thread in hour.added,
    )


def standing(advice: Advice, shown: Sequence[ItemView], programme: Programme) -> Standing:
    """What to do about the time, in a sentence."""
    names = {item.place: f"{item.mark} ({item.title})" for item in shown if item.candidate}
    spares = {one.thread: one for one in programme.spares}
    drop = tuple(str(thread) for thread in advice.drop)
    if drop:
        says = f"{minutes(-advice.spare)} over: leave out {_listed([names.get(place, place) for place in drop])}."
        return Standing(says, drop, "")
    if advice.add:
        one = spares[advice.add[0]]
        says = f"{minutes(advice.spare)} to spare: room for {one.about or one.question} ({minutes(one.minutes * 60)})."
        return Standing(says, (), str(one.thread))
    if advice.spare < -GRACE:
        used = min(-advice.spare, advice.reserve)
        return Standing(f"{minutes(-advice.spare)} over: {minutes(used)} of it come out of the live questions.", (), "")
    return Standing("In time.", (), "")


def _listed(parts: Sequence[str]) -> str:
    return " and ".join(part for part in (", ".join(parts[:-1]), *parts[-1:]) if part)


def minutes(seconds: float) -> str:
    """Minutes and seconds.

    >>> minutes(125), minutes(-3)
    ('2:05', '-0:03')
    """
    whole = round(abs(seconds))
    return f"{'-' if seconds < 0 and whole else ''}{whole // 60}:{whole % 60:02}"

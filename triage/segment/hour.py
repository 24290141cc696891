"""The hour as a whole: opening, the chosen questions in order with their reasons, the tip of the week, closing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from triage.segment.asked import Week
from triage.segment.choosing import Wishes
from triage.segment.order import in_order
from triage.segment.programme import Candidate, Programme, Slot, Tip
from triage.segment.reasons import left_out, why_on
from triage.segment.seasons import tip_for
from triage.segment.worth import Weights, total

MOST_TOPICS = 3  # named in the opening
FREE_MINUTES = 3.0  # from here on the host is told that time is left


def frame_minutes(week: Week) -> float:
    """Minutes that opening, tip and closing take, whatever is on."""
    tips = [note.says[0] for note in week.pack.segment.values() if note.kind == "tip"]
    longest = max(tips, key=len, default="")
    texts = (opening(week, ()), _tip_said(week, longest), closing(week))
    return sum(week.seconds(week.say(text)) for text in texts) / 60


def opening(week: Week, slots: Sequence[Candidate]) -> str:
    """Words to begin with."""
    topics = list(dict.fromkeys(one.about for one in slots if one.about))[:MOST_TOPICS]
    shop = week.pack.shop
    names = {"segment": shop.segment or shop.name, "count": len(slots), "topics": _listed(topics) or "your carts"}
    return week.phrase("hour_opening", seed=week.day.isoformat(), **names)


def _listed(parts: Sequence[str]) -> str:
    return " and ".join(part for part in (", ".join(parts[:-1]), *parts[-1:]) if part)


def closing(week: Week) -> str:
    """Words to end with."""
    segment = week.pack.shop.segment or week.pack.shop.name
    return week.phrase("hour_closing", seed=week.day.isoformat(), segment=segment)


def _tip_said(week: Week, text: str) -> str:
    return week.phrase("hour_tip_intro", seed=week.day.isoformat(), tip=text) if text else ""


def assembled(
    week: Week,
    candidates: Sequence[Candidate],
    chosen: Sequence[Candidate],
    wishes: Wishes,
    *,
    minutes: float,
    reserve: float,
    room: float,
    tips: Mapping[str, date],
    weights: Weights | None = None,
) -> Programme:
    """The programme of the chosen questions; `tips` says when each safety tip was last said."""
    weights = weights or Weights()
    ordered = in_order(chosen, weights)
    hazards = [name for one in ordered for name in one.essentials.hazards]
    tip = tip_for(hazards, week.day, week.pack, tips)
    used = sum(one.minutes for one in ordered)
    return Programme(
        day=week.day,
        minutes=minutes,
        reserve=reserve,
        slots=tuple(_slot(one, place, wishes, weights) for place, one in enumerate(ordered, start=1)),
        left_out=left_out(candidates, ordered, room - used, wishes, weights),
        opening=week.say(opening(week, ordered)),
        tip=Tip(tip.id, week.say(_tip_said(week, tip.text)), tip.source) if tip else None,
        closing=week.say(closing(week)),
        worth=round(total(ordered, weights), 2),
        note=_room_left(room - used),
    )


def _room_left(minutes: float) -> str:
    """A word on time that no question fills; "" when it is little."""
    if minutes < FREE_MINUTES:
        return ""
    return f"{minutes:.0f} minutes are free: no other question may be said. Look at those left out, or read more."


def _slot(one: Candidate, place: int, wishes: Wishes, weights: Weights) -> Slot:
    locked = one.thread in wishes.locked
    return Slot(one, place, one.minutes, locked, why_on(one, locked, weights))

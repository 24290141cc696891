"""Plain words for why each question is on, or is not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from triage.segment.choosing import Wishes
from triage.segment.programme import Candidate, Essentials, LeftOut
from triage.segment.worth import Weights, cost_of_pair, parts, system_key, worth

MOST_SPARES = 5
MOST_PARTS = 3


def why_on(candidate: Candidate, locked: bool, weights: Weights) -> str:
    """Why a question is on: what counts most for it."""
    said = "; ".join(part.says for part in parts(candidate, weights)[:MOST_PARTS])
    return f"you locked it; {said}" if locked and said else "you locked it" if locked else said


def left_out(
    candidates: Sequence[Candidate], chosen: Sequence[Candidate], minutes_left: float, wishes: Wishes, weights: Weights
) -> tuple[LeftOut, ...]:
    """Every question that is not on, with its reason; the best of those that could still be taken are spares."""
    on = {one.thread for one in chosen}
    others = [one for one in candidates if one.thread not in on]
    gains = {one.thread: _gain(one, chosen, weights) for one in others}
    open_ones = [one for one in others if not _kept_out(one, chosen, wishes) and gains[one.thread] > 0]
    spares = sorted(open_ones, key=lambda one: (-gains[one.thread], one.thread))[:MOST_SPARES]
    kept = [LeftOut(one, _why_spare(one, chosen, minutes_left, weights), spare=True) for one in spares]
    spare = {one.thread for one in spares}
    rest = [one for one in others if one.thread not in spare]
    out = [LeftOut(_bare(one), why_not(one, chosen, minutes_left, wishes, weights)) for one in rest]
    return (*kept, *out)


def why_not(one: Candidate, chosen: Sequence[Candidate], minutes_left: float, wishes: Wishes, weights: Weights) -> str:
    """Why a question is not on."""
    return _kept_out(one, chosen, wishes) or _why_spare(one, chosen, minutes_left, weights)


def _kept_out(one: Candidate, chosen: Sequence[Candidate], wishes: Wishes) -> str:
    """What forbids it; "" when nothing does."""
    if one.unsafe:
        return "; ".join(one.unsafe)
    if one.thread in wishes.vetoed:
        why = wishes.vetoed[one.thread]
        return f"you took it out: {why}" if why else "you took it out"
    if one.held:
        return "; ".join(one.held)
    if one.aired:
        return f"said on {', '.join(day.isoformat() for day in one.aired)}"
    if not one.has_something:
        return "there is no answer yet, and too little to reason about"
    twin = next((other for other in chosen if other.topic == one.topic and one.topic), None)
    return f"the same matter as question {twin.thread}, which is on" if twin else ""


def _why_spare(one: Candidate, chosen: Sequence[Candidate], minutes_left: float, weights: Weights) -> str:
    lowest = min((worth(other, weights) for other in chosen), default=0.0)
    own, gain = worth(one, weights), _gain(one, chosen, weights)
    alike = _most_alike(one, chosen, weights)
    shared = _shared(one, alike) if alike else ""
    if alike and shared and gain < lowest <= own:
        return f"too like question {alike.thread}: {shared}"
    if one.minutes > minutes_left and own >= lowest:
        return f"no room: it takes {one.minutes:.1f} minutes, and {max(0.0, minutes_left):.1f} are left"
    return f"worth less than what is on ({own:.1f} points; the lowest on the sheet has {lowest:.1f})"


def _gain(one: Candidate, chosen: Sequence[Candidate], weights: Weights) -> float:
    """What it would add to the sheet as it is."""
    return worth(one, weights) - sum(cost_of_pair(one, other, weights) for other in chosen)


def _most_alike(one: Candidate, chosen: Sequence[Candidate], weights: Weights) -> Candidate | None:
    return max(chosen, key=lambda other: cost_of_pair(one, other, weights), default=None)


def _shared(one: Candidate, other: Candidate) -> str:
    """What two questions have in common, in words."""
    words = []
    if one.vehicle and one.vehicle == other.vehicle:
        words.append(f"both are about the {one.vehicle}")
    if one.system and system_key(one) == system_key(other):
        words.append(f"the same part of the cart ({one.system})")
    return " and ".join(words)


def _bare(one: Candidate) -> Candidate:
    """Without the notes for the host: what is out needs none, and the store stays small."""
    return replace(one, words="", essentials=Essentials())

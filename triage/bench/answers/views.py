"""What the pages of the answer base show: lines of the list, topics as strips, effects in words. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from triage.bench.answers.difference import KINDS
from triage.growth.effect import Effect, Effects, Outcome, Turn
from triage.growth.proposal import Proposal, Topic
from triage.model import Decision

STRIP = (300, 26)  # width and height of a topic's strip, in its own units
DECISIONS = {
    Decision.ANSWER: "can be answered", Decision.ASK: "asks back", Decision.HAND_OVER: "a person looks first",
    Decision.NO_ANSWER: "nothing fits",
}  # fmt: skip
TURNS = {Turn.BETTER: "better", Turn.WORSE: "worse", Turn.CHANGED: "read otherwise", Turn.SAME: "as before"}


@dataclass(frozen=True, slots=True)
class Waiting:
    """A proposal as a line of the list."""

    number: int
    kind: str
    title: str
    askers: str
    made: date
    risky: bool
    agreed: str  # who has agreed, where two must


def waiting_lines(proposals: Iterable[Proposal]) -> list[Waiting]:
    """Proposals as lines, in their order."""
    return [_line(proposal) for proposal in proposals]


def _line(proposal: Proposal) -> Waiting:
    agreed = f"{' and '.join(proposal.agreed)} agreed" if proposal.agreed else ""
    kind, askers = KINDS[proposal.kind], counted(proposal.askers, "asker")
    return Waiting(proposal.id, kind, proposal.title, askers, proposal.made, bool(proposal.hazards), agreed)


def counted(number: int, thing: str) -> str:
    """ "1 asker", "2 askers"."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


@dataclass(frozen=True, slots=True)
class Strip:
    """A topic with a mark for every time it was asked, on one axis with the others."""

    name: str
    words: str
    askers: str
    open_for: str
    minutes: str
    threads: tuple[int, ...]
    marks: tuple[float, ...]  # x of each time it was asked
    says: str  # the picture in words


@dataclass(frozen=True, slots=True)
class Topics:
    """All topics, and what the axis spans."""

    strips: tuple[Strip, ...]
    first: date | None
    last: date | None


def topics_of(topics: Sequence[Topic], today: date) -> Topics:
    """Topics over one span of time, from the first time any was asked until today."""
    days = [day for topic in topics for day in topic.asked]
    first = min(days, default=None)
    span = max(1, (today - first).days) if first else 1
    return Topics(tuple(_strip(topic, first or today, span) for topic in topics), first, today if first else None)


def _strip(topic: Topic, first: date, span: int) -> Strip:
    width = STRIP[0] - 12
    marks = tuple(round(6 + width * (day - first).days / span, 1) for day in topic.asked)
    says = f"asked {len(topic.asked)} times" + (f", first on {min(topic.asked):%d %B %Y}" if topic.asked else "")
    return Strip(
        topic.name,
        ", ".join(topic.words[1:5]),
        counted(topic.askers, "asker"),
        counted(topic.days, "day"),
        _time(topic.minutes),
        topic.threads,
        marks,
        says,
    )


def _time(minutes: float) -> str:
    return f"{minutes:.0f} min" if minutes < 90 else f"{minutes / 60:.1f} h"


@dataclass(frozen=True, slots=True)
class EffectLine:
    """A question that is read otherwise."""

    turn: str
    title: str
    href: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class EffectView:
    """What a proposal does, in a sentence and in lines."""

    says: str
    lines: tuple[EffectLine, ...]
    more: int  # further ones that are not listed


def effect_view(effects: Effects, titles: Mapping[str, str], most: int = 40) -> EffectView:
    """The effect for a page; `titles` names answers by id."""
    counts = [f"{effects.counts.get(turn, 0)} {word}" for turn, word in TURNS.items()]
    says = f"{counted(effects.read, 'question')} read again: {', '.join(counts)}."
    if effects.left:
        says += f" {effects.left} that lie further from it were not."
    lines = tuple(_effect_lines(effects.changed[:most], titles))
    return EffectView(says, lines, max(0, len(effects.changed) - most))


def _effect_lines(changed: Iterable[Effect], titles: Mapping[str, str]) -> Iterator[EffectLine]:
    for effect in changed:
        href = f"/question/{effect.resolved.thread}" if effect.resolved.thread else ""
        shown = [_shown(outcome, titles) for outcome in (effect.before, effect.after)]
        yield EffectLine(TURNS[effect.turn], effect.resolved.title, href, *shown)


def _shown(outcome: Outcome, titles: Mapping[str, str]) -> str:
    if not outcome.first:
        return DECISIONS[outcome.decision]
    return f"{titles.get(outcome.first, outcome.first)}, {outcome.probability:.0%}; {DECISIONS[outcome.decision]}"

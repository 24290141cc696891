"""What follows from the facts: dangers, what to ask, answers with why, checks in order, likely causes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from triage.bench.views.wording import DECISION_SAYS, how_told, label, origin, share
from triage.model import Gap, HazardNote, Match, Reading
from triage.pack import Pack
from triage.pack.schema import Answer

MOST_ANSWERS = 4
MOST_CHECKS = 6
MUCH, SOME = 0.25, 0.08  # expected gain in probability of the right answer


@dataclass(frozen=True, slots=True)
class Danger:
    """One way to get hurt, and whether the reply carries its note."""

    id: str
    signal: str
    label: str
    how: str
    basis: str
    urgent: bool
    in_reply: bool


@dataclass(frozen=True, slots=True)
class Ask:
    """One thing worth asking."""

    fact: str
    ask: str
    find_out: str
    worth: str  # "decides much"
    share: float  # 0..1 for a meter
    in_reply: bool


@dataclass(frozen=True, slots=True)
class Odd:
    """What does not fit together, and what would settle it."""

    id: str
    says: str
    ask: str
    in_reply: bool


@dataclass(frozen=True, slots=True)
class Fitting:
    """An answer of the base with why it fits or not."""

    id: str
    title: str
    share: str
    part: float
    why: tuple[str, ...]
    against: tuple[str, ...]
    chosen: bool
    text: str


@dataclass(frozen=True, slots=True)
class CheckLine:
    """One check with what each outcome means."""

    id: str
    label: str
    minutes: str
    who: str
    outcomes: tuple[tuple[str, str], ...]
    in_reply: bool


@dataclass(frozen=True, slots=True)
class Advice:
    """What follows for one question."""

    reading: str  # id of the question
    topic: str
    says: str
    reasons: tuple[str, ...]
    dangers: tuple[Danger, ...]
    findings: tuple[str, ...]
    conflicts: tuple[Odd, ...]
    asks: tuple[Ask, ...]
    answers: tuple[Fitting, ...]
    checks: tuple[CheckLine, ...]
    causes: tuple[tuple[str, str], ...]


def advice(reading: Reading, topic: str, pack: Pack, sources: frozenset[str]) -> Advice:
    """What follows; `sources` are those of the draft's sentences, to tell what is in the reply already.

    That of a line of its own is there with "asked:" before it, too.
    """
    return Advice(
        reading.id,
        topic,
        DECISION_SAYS[reading.decision],
        tuple(_reason(reason, pack) for reason in reading.reasons),
        tuple(_danger(note, pack, sources) for note in reading.hazards),
        tuple(finding.says for finding in reading.findings),
        tuple(Odd(c.id, c.says, c.ask, f"asked:conflict:{c.id}" in sources) for c in reading.conflicts),
        tuple(_ask(gap, sources) for gap in reading.gaps),
        tuple(_fitting(match, pack, sources) for match in reading.matches[:MOST_ANSWERS]),
        tuple(_checks(reading, pack, sources)),
        tuple((label(pack.causes, cause.cause), share(cause.probability)) for cause in reading.causes[:5]),
    )


def _reason(reason: str, pack: Pack) -> str:
    """Ids of the pack that a reason names, in words."""
    head, colon, names = reason.partition(": ")
    if colon and head == "danger reported":
        return f"{head}: {', '.join(label(pack.hazards, name) for name in names.split(', '))}"
    words = [label(pack.facts, word) if word in pack.facts else word for word in reason.split()]
    return " ".join(words)


def _danger(note: HazardNote, pack: Pack, sources: frozenset[str]) -> Danger:
    return Danger(
        note.hazard,
        note.signal.value,
        label(pack.hazards, note.hazard),
        how_told(note),
        origin(note.basis, pack),
        note.urgent,
        f"hazard:{note.hazard}" in sources,
    )


def _ask(gap: Gap, sources: frozenset[str]) -> Ask:
    worth = "decides much" if gap.worth >= MUCH else "decides some" if gap.worth >= SOME else "decides little"
    return Ask(gap.fact, gap.ask, gap.find_out, worth, min(1.0, gap.worth), f"gap:{gap.fact}" in sources)


def _fitting(match: Match, pack: Pack, sources: frozenset[str]) -> Fitting:
    answer = _answer(pack, match.answer)
    return Fitting(
        match.answer,
        answer.title if answer else match.answer,
        share(match.probability),
        match.probability,
        tuple(reason.replace("_", " ") for reason in match.why),
        tuple(reason.replace("_", " ") for reason in match.against),
        f"answer:{match.answer}" in sources,
        answer.text if answer else "",
    )


def _answer(pack: Pack, name: str) -> Answer | None:
    return next((answer for answer in pack.answers if answer.id == name), None)


def _checks(reading: Reading, pack: Pack, sources: frozenset[str]) -> Iterator[CheckLine]:
    for step in reading.checks[:MOST_CHECKS]:
        check = pack.checks.get(step.check)
        if check is not None:
            outcomes = tuple((outcome.finding, outcome.means) for outcome in check.outcomes)
            minutes, inside = f"about {check.minutes:.0f} min", f"check:{step.check}" in sources
            yield CheckLine(step.check, check.label, minutes, check.who, outcomes, inside)


def other_answers(readings: Sequence[Reading], pack: Pack) -> tuple[tuple[str, str], ...]:
    """Every answer of the base that is not among the best, by title: (id, title)."""
    shown = {match.answer for reading in readings for match in reading.matches[:MOST_ANSWERS]}
    rest = [(answer.title, answer.id) for answer in pack.answers if answer.id not in shown]
    return tuple((id, title) for title, id in sorted(rest))

"""The parts of a reading on a terminal, in the order a support person needs them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain
from typing import Protocol

from rich.console import RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from triage.cli.page import head, indented, numbered, shown
from triage.model import CheckStep, Draft, Fact, HazardNote, Match, Reading, Signal, Standing
from triage.pack import Pack

_SIGNAL_STYLE = {
    Signal.DANGER: "bold white on red",
    Signal.WARNING: "bold black on dark_orange",
    Signal.CAUTION: "bold black on yellow",
    Signal.NOTICE: "bold white on blue",
}
_STANDING = {  # in words, so that nothing hangs on colour
    Standing.STATED: "",
    Standing.HEDGED: "unsure",
    Standing.INFERRED: "worked out",
    Standing.CORRECTED: "corrected",
    Standing.DENIED: "not so",
    Standing.PLANNED: "planned",
    Standing.PAST: "before",
    Standing.OTHER: "another's",
}
_DECISION = {
    "answer": "can be answered: look it over and send",
    "ask": "ask first: something is missing",
    "hand_over": "a person must look first",
    "no_answer": "nothing in the base fits",
}


def reading_parts(reading: Reading, pack: Pack) -> Iterator[RenderableType]:
    """Decision, dangers, facts, what does not fit, what to ask, answers, causes and checks."""
    yield head("Decision", _DECISION[reading.decision.value])
    yield from (indented(Text(reason.replace("_", " "))) for reason in reading.reasons)
    yield from _dangers(reading.hazards, pack)
    if reading.facts:
        yield head("Facts")
        yield _facts(reading.facts, pack)
    yield from _listed("Does not fit together", [conflict.says for conflict in reading.conflicts])
    yield from _listed("What the readings show", [finding.says for finding in reading.findings])
    yield from _listed("Worth asking", [gap.ask for gap in reading.gaps])
    if reading.matches:
        yield head("Answers")
        yield numbered((f"{match.probability:.0%}", _match(match, pack)) for match in reading.matches[:3])
    causes = ", ".join(f"{_label(pack.causes, c.cause)} {c.probability:.0%}" for c in reading.causes[:5])
    yield from _listed("Likely causes", [causes] if causes else [])
    if reading.checks:
        yield head("Checks, in order")
        yield numbered((f"{n}.", _check(step, pack)) for n, step in enumerate(reading.checks[:5], start=1))


def draft_parts(draft: Draft) -> Iterator[RenderableType]:
    """The draft of a reply."""
    ease = draft.reading_ease
    yield head("Draft", f"reading ease {ease:.0f} of 100" if ease is not None else "")
    yield indented(Text(draft.body))


def _listed(title: str, texts: Sequence[str]) -> Iterator[RenderableType]:
    if texts:
        yield head(title)
        yield from (indented(Text(text)) for text in texts)


def _dangers(hazards: Sequence[HazardNote], pack: Pack) -> Iterator[RenderableType]:
    if not hazards:
        return
    yield head("Dangers")
    table = Table.grid(padding=(0, 2))
    table.add_column(no_wrap=True)
    table.add_column()
    for note in hazards:
        how = "reported" if note.urgent else "in the words" if note.span else "in the work"
        told = Text.assemble((_label(pack.hazards, note.hazard), "bold" if note.urgent else ""), f", {how}")
        told.append(f" ({note.basis.removeprefix('words: ')})" if note.basis else "", style="dim")
        table.add_row(Text(f" {note.signal.value} ", _SIGNAL_STYLE[note.signal]), told)
    yield indented(table, by=1)


def _facts(facts: Sequence[Fact], pack: Pack) -> Padding:
    table = Table.grid(padding=(0, 2))
    several = any(fact.vehicle > 1 for fact in facts)
    for fact in facts:
        vehicle = f"vehicle {fact.vehicle}: " if several else ""
        standing = _STANDING[fact.standing]
        table.add_row(
            Text(vehicle + _label(pack.facts, fact.name)),
            Text.assemble(_value(fact, pack), (f"  {standing}" if standing else "", "italic")),
            Text(fact.basis.removeprefix("words: "), style="dim"),
        )
    return indented(table)


def _value(fact: Fact, pack: Pack) -> str:
    value = _label(pack.symptoms, str(fact.value)) if fact.name == "symptom" else shown(fact.value)
    what = f"{fact.what}: " if fact.name == "measurement" and fact.what else ""
    condition = f" ({fact.condition})" if fact.condition else ""
    return f"{what}{value} {fact.unit}".strip() + condition


def _match(match: Match, pack: Pack) -> Text:
    titles = {answer.id: answer.title for answer in pack.answers}
    text = Text.assemble(titles.get(match.answer, match.answer), (f"  {match.answer}", "dim"))
    notes = chain(match.why, (f"against: {reason}" for reason in match.against))
    return text.append("\n" + "; ".join(notes).replace("_", " "), style="dim")


def _check(step: CheckStep, pack: Pack) -> Text:
    check = pack.checks.get(step.check)
    if check is None:  # the pack has changed since the reading
        return Text(f"{step.check}: {step.expected}")
    text = Text(f"{check.label} (about {check.minutes:.0f} min)")
    for outcome in check.outcomes:
        text.append(f"\n- {outcome.finding}: {outcome.means}", style="dim")
    return text


class _Labelled(Protocol):
    @property
    def label(self) -> str: ...


def _label(records: Mapping[str, _Labelled], name: str) -> str:
    """The pack's words for an id; the id itself, spaced, when the pack no longer has it."""
    return records[name].label if name in records else name.replace("_", " ")

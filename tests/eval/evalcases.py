"""Small labelled questions and readings, written out where a test needs them."""

from __future__ import annotations

from typing import Any

from eval.cases import Case
from eval.labels import Labelled, ToldFact, ToldMeasurement
from triage.model import Decision, Fact, Gap, HazardNote, Match, Reading, Signal, Span, Standing


def gold(**told: Any) -> Labelled:
    """A label with what matters to a test."""
    usual = {"id": "t1", "voice": "plain", "text": "a question", "intent": "diagnose", "decision": "answer"}
    return Labelled(**(usual | told))


def case(reading: Reading | None = None, /, others: dict[str, Any] | None = None, **told: Any) -> Case:
    """A case of a reading and a label."""
    label = gold(**told)
    return Case("demo", label, reading or Reading(label.id), others or {})


def told(name: Any, value: str | float, standing: Standing = Standing.STATED) -> ToldFact:
    """A labelled fact."""
    return ToldFact(name, value, standing)


def fact(name: str, value: Any, standing: Standing = Standing.STATED, **more: Any) -> Fact:
    """A fact read."""
    return Fact(name, value, standing=standing, **more)


def facts(*items: Fact) -> Reading:
    """A reading of facts only."""
    return Reading("t1", facts=items)


def matches(decision: Decision = Decision.ASK, **probabilities: float) -> Reading:
    """A reading that offers answers, best first."""
    return Reading("t1", matches=tuple(Match(n, p) for n, p in probabilities.items()), decision=decision)


def note(hazard: str, *, told: bool = True, urgent: bool = False) -> HazardNote:
    """A hazard read from the words, or one that comes with the proposed work."""
    span = Span(0, 1) if told else None
    return HazardNote(hazard, Signal.WARNING, "Take care.", urgent=urgent, span=span, basis="words")


def gaps(*names: str) -> Reading:
    """A reading that asks for facts, in this order."""
    return Reading("t1", gaps=tuple(Gap(name, f"What is the {name}?", 0.1) for name in names))


def measured(value: Any, unit: str) -> ToldMeasurement:
    """A labelled measurement."""
    return ToldMeasurement("pack voltage", value, unit)

"""Hazards that follow from facts: every value of a repeating fact is tried."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from triage.language.stem import folded
from triage.model import Fact, Standing
from triage.pack.schema import Condition, Hazard
from triage.safety.seen import How, Seen

# facts that tell what goes wrong; a set of facts without one of these tells work, not a trouble
TROUBLE = "symptom"
WORK = "work_done"


def find(hazards: Iterable[Hazard], facts: Sequence[Fact]) -> Iterator[Seen]:
    """Each hazard once, by the first of its conditions that the facts meet."""
    by_name: dict[str, list[Fact]] = {}
    for fact in facts:
        if fact.standing.holds or fact.standing is Standing.PLANNED:
            by_name.setdefault(fact.name, []).append(fact)
    for hazard in hazards:
        met = next((held for condition in hazard.facts if (held := _met(condition, by_name))), None)
        if met:
            shown = ", ".join(f"{fact.name} {_text(fact)}" for fact in met)
            span = next((fact.span for fact in met if fact.span), None)
            yield Seen(hazard.id, _how(met), f"facts: {shown}", span)


def _met(condition: Condition, facts: Mapping[str, Sequence[Fact]]) -> list[Fact]:
    """One fact for each name of the condition; empty when one is not met. A planned change needs an asked intent."""
    asked = "intent" in condition
    result = []
    for name, values in condition.items():
        held = (f for f in facts.get(name, ()) if _is_one_of(f, values) and (asked or f.standing.holds))
        fact = next(held, None)
        if fact is None:
            return []
        result.append(fact)
    return result


def _is_one_of(fact: Fact, values: Iterable[str]) -> bool:
    """Work is compared without inflections: "batteries replaced" is "battery replaced"."""
    if fact.name != WORK:
        return _text(fact) in values
    return folded(_text(fact)) in {folded(value) for value in values}


def _how(met: Sequence[Fact]) -> How:
    return How.REPORTED if any(fact.name == TROUBLE for fact in met) else How.PLANNED


def _text(fact: Fact) -> str:
    return f"{fact.value:g}" if isinstance(fact.value, int | float) else str(fact.value)

"""Which causes explain the symptoms: noisy-OR with leak, one fault at a time.

The single-fault assumption is that of Heckerman, Breese & Rommelse, "Decision-theoretic troubleshooting",
CACM 38(3), 1995.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from math import prod

from triage.model import CauseBelief, FactValue
from triage.pack.schema import Cause, Symptom

REPLACED = 0.15  # a part already replaced is less likely, not impossible; common practice, no source
TESTED_FINE = 0.3
OTHER_PRIOR = 0.05  # a cause the pack does not list
SHOWN = 0.02


@dataclass(frozen=True, slots=True)
class Evidence:
    """What was told: symptoms that show, symptoms that were denied, parts worked on, and factors of what was found."""

    present: frozenset[str]
    absent: frozenset[str] = frozenset()
    replaced: frozenset[str] = frozenset()
    tested_fine: frozenset[str] = frozenset()
    ratios: Mapping[str, float] = field(default_factory=dict)  # cause -> P(found | cause) / P(found | another fault)


def beliefs(
    causes: Iterable[Cause],
    symptoms: Mapping[str, Symptom],
    evidence: Evidence,
    facts: Mapping[str, FactValue],
    least: float = SHOWN,
) -> tuple[CauseBelief, ...]:
    """Causes with their posterior from `least` on, likeliest first; empty when no symptom was told.

    The shares of unlisted causes stay out of the list, so the probabilities may sum to less than 1.
    """
    if not evidence.present:
        return ()
    weights = {cause.id: _weight(cause, symptoms, evidence) for cause in causes if possible(cause, facts)}
    explained = {id: weight for id, weight in weights.items() if weight > 0}
    other = OTHER_PRIOR * prod(_leak(symptoms, s) for s in evidence.present)
    other *= prod(1 - _leak(symptoms, s) for s in evidence.absent)
    total = sum(explained.values()) + other
    ranked = sorted(explained.items(), key=lambda item: (-item[1], item[0]))
    return tuple(CauseBelief(id, round(w / total, 4)) for id, w in ranked if w / total >= least)


def explainer(
    causes: Iterable[Cause], symptoms: Mapping[str, Symptom], evidence: Evidence
) -> Callable[[Mapping[str, FactValue]], Mapping[str, float]]:
    """A function from a vehicle's facts to P(cause), which remembers vehicles that no cause tells apart."""
    listed = list(causes)
    names = sorted({"powertrain", *(name for cause in listed for name in cause.when)})
    known: dict[tuple[FactValue | None, ...], Mapping[str, float]] = {}

    def explain(facts: Mapping[str, FactValue]) -> Mapping[str, float]:
        key = tuple(facts.get(name) for name in names)
        if key not in known:
            known[key] = {b.cause: b.probability for b in beliefs(listed, symptoms, evidence, facts)}
        return known[key]

    return explain


def possible(record: Cause, facts: Mapping[str, FactValue]) -> bool:
    """False when a known fact speaks against the cause's powertrain or condition."""
    powertrain = facts.get("powertrain")
    if powertrain and record.powertrain not in ("any", powertrain):
        return False
    return condition_holds(record.when, facts)


def condition_holds(when: Mapping[str, list[str]], facts: Mapping[str, FactValue]) -> bool:
    """True unless a known fact lies outside the condition."""
    return all(name not in facts or text_of(facts[name]) in values for name, values in when.items())


def text_of(value: FactValue) -> str:
    """A fact's value as conditions write it."""
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def _weight(cause: Cause, symptoms: Mapping[str, Symptom], evidence: Evidence) -> float:
    shown = prod(_probability(cause, symptoms, s) for s in evidence.present)
    hidden = prod(1 - _probability(cause, symptoms, s) for s in evidence.absent)
    tells = any(s in cause.symptoms for s in evidence.present)
    return cause.prior * shown * hidden * _found(cause, evidence) if tells else 0.0


def _probability(cause: Cause, symptoms: Mapping[str, Symptom], symptom: str) -> float:
    """Noisy-OR of the cause and the leak."""
    return 1 - (1 - cause.symptoms.get(symptom, 0.0)) * (1 - _leak(symptoms, symptom))


def _leak(symptoms: Mapping[str, Symptom], symptom: str) -> float:
    return symptoms[symptom].leak if symptom in symptoms else 0.01


def _found(cause: Cause, evidence: Evidence) -> float:
    return _work_factor(cause, evidence) * evidence.ratios.get(cause.id, 1.0)


def _work_factor(cause: Cause, evidence: Evidence) -> float:
    parts = frozenset(cause.parts)
    if parts & evidence.replaced:
        return REPLACED
    return TESTED_FINE if parts & evidence.tested_fine else 1.0

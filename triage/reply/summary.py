"""Say back in one line what was understood, so that the asker can correct it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from triage.model import Fact, Standing
from triage.pack.schema import Symptom


def vehicle_line(facts: Mapping[str, Fact]) -> str:
    """Year, make, model, powertrain, volts and batteries in one line; "" when nothing is known."""
    name = " ".join(_told(facts, key) for key in ("year", "make", "model") if key in facts)
    details = [
        _told(facts, "powertrain"),
        _told(facts, "pack_voltage"),
        _told(facts, "battery_chemistry"),
        _batteries(facts),
    ]
    return ", ".join(part for part in (name, *details) if part)


def _told(facts: Mapping[str, Fact], name: str) -> str:
    fact = facts.get(name)
    if fact is None:
        return ""
    value = f"{fact.value:g}" if isinstance(fact.value, int | float) else str(fact.value)
    shown = f"{value} {fact.unit}".strip()
    return f"{shown} (not certain)" if fact.standing is Standing.HEDGED else shown


def _batteries(facts: Mapping[str, Fact]) -> str:
    count, each = facts.get("battery_count"), facts.get("battery_voltage")
    if count and each and count.standing is not Standing.INFERRED:
        return f"{count.value} x {each.value} V batteries"
    return f"{count.value} batteries" if count and count.standing is not Standing.INFERRED else ""


def problem_line(facts: Sequence[Fact], symptoms: Mapping[str, Symptom]) -> str:
    """ "it clicks but does not move (uphill)", at most three symptoms; "" when none is told."""
    told = [fact for fact in facts if fact.name == "symptom" and fact.standing.holds and str(fact.value) in symptoms]
    parts = [_symptom(fact, symptoms[str(fact.value)]) for fact in told[:3]]
    return "; ".join(dict.fromkeys(parts))


def _symptom(fact: Fact, symptom: Symptom) -> str:
    return f"{symptom.label} ({fact.condition.lower()})" if fact.condition else symptom.label


def tried_line(facts: Sequence[Fact]) -> str:
    """ "solenoid replaced, batteries tested (fine)": work already done."""
    work = [fact for fact in facts if fact.name == "work_done" and fact.standing.holds]
    return ", ".join(dict.fromkeys(f"{f.value} ({f.condition})" if f.condition else str(f.value) for f in work[:4]))

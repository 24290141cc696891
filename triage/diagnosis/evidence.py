"""What was told and measured, as factors on the causes: P(finding | cause) over P(finding | any other fault)."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from math import prod

from triage.diagnosis.causes import text_of
from triage.model import FactValue
from triage.pack.schema import Finding

CERTAIN = 0.98  # no finding is sure
ANY = ""


def ratios_of(
    findings: Iterable[Finding],
    facts: Mapping[str, FactValue],
    readings: Collection[str] = (),
    symptoms: Collection[str] = (),
) -> dict[str, float]:
    """Cause id -> the product of the ratios of all findings that hold; a cause without one is left out.

    A finding that one of the told symptoms tells as well is left out: it would count twice.
    """
    holding = [f for f in findings if holds(f, facts, readings) and set(f.unless).isdisjoint(symptoms)]
    causes = {cause for finding in holding for cause in finding.ratios}
    return {cause: prod(finding.ratios.get(cause, 1.0) for finding in holding) for cause in sorted(causes)}


def holds(finding: Finding, facts: Mapping[str, FactValue], readings: Collection[str] = ()) -> bool:
    """True when the finding's fact is known and lies within its values, or its reading was taken."""
    if finding.reading is not None:
        return finding.reading in readings
    if finding.fact not in facts:
        return False
    value = facts[finding.fact]
    return text_of(value) in finding.values if finding.values else _in_range(value, finding.low, finding.high)


def _in_range(value: FactValue, low: float | None, high: float | None) -> bool:
    if not isinstance(value, int | float):
        return False
    return (low is None or value >= low) and (high is None or value <= high)


def speaks(findings: Iterable[Finding]) -> dict[str, dict[str, dict[str, float]]]:
    """P(value | cause) of each fact whose findings name every value it can have: fact -> value -> cause -> P.

    The cause ANY stands for all that no ratio is given for.
    """
    by_fact: dict[str, list[Finding]] = {}
    for finding in findings:
        if finding.fact and len(finding.values) == 1:
            by_fact.setdefault(finding.fact, []).append(finding)
    return {fact: _table(group) for fact, group in by_fact.items() if len(group) > 1}


def settled(findings: Iterable[Finding], symptoms: Collection[str]) -> frozenset[str]:
    """Facts that a told symptom tells as well: whoever says that it cranks need not be asked whether it turns over."""
    return frozenset(f.fact for f in findings if f.fact and not set(f.unless).isdisjoint(symptoms))


def _table(group: Iterable[Finding]) -> dict[str, dict[str, float]]:
    causes = dict.fromkeys([ANY, *(cause for finding in group for cause in finding.ratios)])
    raw = {f.values[0]: {c: min(CERTAIN, f.share * f.ratios.get(c, 1.0)) for c in causes} for f in group}
    total = {cause: sum(column[cause] for column in raw.values()) for cause in causes}
    return {value: {cause: p / total[cause] for cause, p in column.items()} for value, column in raw.items()}

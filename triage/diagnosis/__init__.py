"""Symptoms to causes to checks: what can be wrong, and what to look at first."""

from triage.diagnosis.causes import Evidence, beliefs, explainer
from triage.diagnosis.checks import expected_cost, order_checks
from triage.diagnosis.evidence import ratios_of, settled, speaks
from triage.diagnosis.readings import readings_of

__all__ = [
    "Evidence",
    "beliefs",
    "expected_cost",
    "explainer",
    "order_checks",
    "ratios_of",
    "readings_of",
    "settled",
    "speaks",
]

"""Symptoms to causes to checks: what can be wrong, and what to look at first."""

from triage.diagnosis.causes import beliefs
from triage.diagnosis.checks import expected_cost, order_checks

__all__ = ["beliefs", "expected_cost", "order_checks"]

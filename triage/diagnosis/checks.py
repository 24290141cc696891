"""Checks in the order to make them: probability over cost, free and safe ones first.

Descending p/c is the best order when one fault explains all and each check is sure (Heckerman, Breese & Rommelse 1995).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from triage.diagnosis.causes import condition_holds
from triage.model import CauseBelief, CheckStep, FactValue
from triage.pack.schema import Check

TOOL_COST = 5.0  # minutes a tool adds: finding or borrowing it; common practice, no source
WORKSHOP_COST = 60.0  # minutes of bringing it in
HAZARD_COST = 10.0  # minutes of care per hazard
SHOWN = 6
LEAST_SHARE = 0.03
NEAR = 0.8  # of probability over cost: from here on the safer of two checks goes first


def order_checks(
    checks: Iterable[Check],
    causes: Sequence[CauseBelief],
    facts: Mapping[str, FactValue],
    limit: int = SHOWN,
    least: float = LEAST_SHARE,
) -> tuple[CheckStep, ...]:
    """The next checks, each chosen for the causes the earlier ones leave open, as long as it gains `least` or more."""
    left = {belief.cause: belief.probability for belief in causes}
    open_checks = [check for check in checks if applies(check, facts) and any(cause in left for cause in check.causes)]
    steps: list[CheckStep] = []
    while len(steps) < limit:
        open_checks = [check for check in open_checks if _gain(check, left) >= least]
        if not open_checks:
            break
        best = _next(open_checks, left)
        steps.append(_step(best, left))
        open_checks.remove(best)
        for cause in best.causes:
            left.pop(cause, None)
    return tuple(steps)


def _next(checks: Sequence[Check], left: Mapping[str, float]) -> Check:
    """The most probability for its cost; of near equals what the owner can do with no tools and no danger."""
    value = {check.id: _gain(check, left) / cost(check) for check in checks}
    near = [check for check in checks if value[check.id] >= NEAR * max(value.values())]
    return min(near, key=lambda check: (*_trouble(check), -value[check.id], check.minutes, check.id))


def _trouble(check: Check) -> tuple[bool, bool, bool]:
    return check.who == "workshop", bool(check.hazards), bool(check.tools)


def cost(check: Check) -> float:
    """Minutes of work, with tools, a workshop visit and danger counted in."""
    extra = TOOL_COST * len(check.tools) + HAZARD_COST * len(check.hazards)
    return check.minutes + extra + (WORKSHOP_COST if check.who == "workshop" else 0.0)


def expected_cost(order: Iterable[tuple[float, float]], last_resort: float = 0.0) -> float:
    """Cost to expect of checks made in this order, as (probability, cost) pairs, each stopping at its own fault.

    Each check is paid for unless an earlier one found the fault; `last_resort` is paid when none did.
    Source: Heckerman, Breese & Rommelse 1995, with sure checks and one fault.

    >>> round(expected_cost([(0.20, 5), (0.30, 10), (0.40, 40), (0.10, 20)]), 2)
    35.0
    """
    total, left = 0.0, 1.0
    for probability, price in order:
        total += left * price
        left -= probability
    return total + max(0.0, left) * last_resort


def applies(check: Check, facts: Mapping[str, FactValue]) -> bool:
    """False when a known fact speaks against the check's powertrain or condition."""
    powertrain = facts.get("powertrain")
    return check.powertrain in ("any", powertrain or check.powertrain) and condition_holds(check.when, facts)


def _gain(check: Check, left: Mapping[str, float]) -> float:
    return sum(left.get(cause, 0.0) for cause in check.causes)


def _step(check: Check, left: Mapping[str, float]) -> CheckStep:
    likeliest = max(check.causes, key=lambda cause: (left.get(cause, 0.0), cause))
    expected = "; ".join(f"{outcome.finding}: {outcome.means}" for outcome in check.outcomes)
    return CheckStep(check.id, likeliest, round(cost(check), 1), expected, check.text, tuple(check.hazards))

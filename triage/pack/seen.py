"""Causes that were confirmed in the shop's own cases, counted onto the priors of the pack."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace

from triage.pack.schema import Cause, CauseSeen

PRIOR_CASES = 100  # what the pack says of how often causes are met counts like so many cases seen


def with_seen(causes: Mapping[str, Cause], seen: Mapping[str, CauseSeen]) -> dict[str, Cause]:
    """The causes with the priors that the shop's cases leave them.

    Formula: prior' = S (W prior / S + n) / (W + N), the mean of a Dirichlet distribution over the causes of one
    powertrain: S the sum of their priors (it stays), n the cases of the cause, N of all of them, W = PRIOR_CASES.
    Source: conjugate update of a multinomial (Gelman et al., Bayesian Data Analysis, section 3.4).
    """
    cases = {name: len(seen[name].seen) if name in seen else 0 for name in causes}
    total, sums = Counter[str](), Counter[str]()
    for name, cause in causes.items():
        total[cause.powertrain] += cases[name]
        sums[cause.powertrain] += cause.prior  # type: ignore[assignment]  # a Counter of numbers
    return {name: _counted(cause, cases[name], total, sums) for name, cause in causes.items()}


def _counted(cause: Cause, cases: int, total: Mapping[str, int], sums: Mapping[str, float]) -> Cause:
    every, whole = total[cause.powertrain], sums[cause.powertrain]
    if not every:
        return cause
    prior = whole * (PRIOR_CASES * cause.prior / whole + cases) / (PRIOR_CASES + every)
    return replace(cause, prior=min(prior, 0.99))

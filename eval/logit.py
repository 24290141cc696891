"""A conditional logit over choices of unequal size, fitted by maximum likelihood with a small penalty."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.optimize import minimize

from eval.choices import Choice
from triage.growth.learn_logit import Bounds, Floats, Stack, losses_and_slack
from triage.growth.learn_logit import stack as lay


def stack(choices: Sequence[Choice]) -> Stack:
    """Lay choices under one another. Raises ValueError when one has no right row: nothing can be learned from it."""
    lost = [choice.id for choice in choices if not choice.right.any()]
    if lost or not choices:
        raise ValueError(f"Choices without a right row: {', '.join(lost)}" if lost else "There are no choices to fit.")
    return lay([c.rows for c in choices], [c.right for c in choices], [1.0] * len(choices))


def probabilities(logits: Floats) -> Floats:
    """Softmax of one choice's logits."""
    weights = np.exp(logits - logits.max())
    shares: Floats = weights / weights.sum()
    return shares


def fit(data: Stack, start: Floats, bounds: Bounds, penalty: float) -> Floats:
    """Coefficients of least mean log loss + penalty/2 x their squares, within the bounds.

    The penalty is on the coefficients of standardised columns, so that a column's unit does not matter. The target is
    convex, so that `start` only saves steps. Raises ValueError when the optimiser does not settle.
    """
    squares = penalty * _spreads(data.rows) ** 2

    def target(coefficients: Floats) -> tuple[float, Floats]:
        losses, slack = losses_and_slack(coefficients, data)
        slope = data.rows.T @ slack / len(losses) + squares * coefficients
        return float(losses.mean() + squares @ coefficients**2 / 2), slope

    options = {"maxiter": 5000, "maxfun": 10000, "ftol": 1e-12, "gtol": 1e-7}
    found = minimize(target, start, jac=True, bounds=bounds, method="L-BFGS-B", options=options)
    if not found.success:
        raise ValueError(f"The fit did not settle: {found.message}")
    return np.asarray(found.x, np.float64)


def _spreads(rows: Floats) -> Floats:
    """Standard deviation of each column; 0 for one that tells nothing apart."""
    return np.asarray(rows.std(axis=0), np.float64)

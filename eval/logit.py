"""A conditional logit over choices of unequal size, fitted by maximum likelihood with a small penalty."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from eval.choices import Choice

Floats = NDArray[np.float64]
Bounds = Sequence[tuple[float | None, float | None]]


@dataclass(frozen=True)
class Stack:
    """Choices laid under one another: `starts` are their first rows, `owner` the choice of each row."""

    rows: Floats  # (rows, columns)
    right: NDArray[np.bool_]
    starts: NDArray[np.int64]
    owner: NDArray[np.int64]


def stack(choices: Sequence[Choice]) -> Stack:
    """Lay choices under one another. Raises ValueError when one has no right row: nothing can be learned from it."""
    lost = [choice.id for choice in choices if not choice.right.any()]
    if lost or not choices:
        raise ValueError(f"Choices without a right row: {', '.join(lost)}" if lost else "There are no choices to fit.")
    sizes = np.array([len(choice.rows) for choice in choices])
    return Stack(
        np.concatenate([choice.rows for choice in choices]),
        np.concatenate([choice.right for choice in choices]),
        np.concatenate([[0], np.cumsum(sizes)[:-1]]).astype(np.int64),
        np.repeat(np.arange(len(choices)), sizes).astype(np.int64),
    )


def log_losses(coefficients: Floats, data: Stack) -> Floats:
    """-ln P(a right row) of each choice, shape (choices,)."""
    losses, _ = _losses(coefficients, data)
    return losses


def _losses(coefficients: Floats, data: Stack) -> tuple[Floats, Floats]:
    """Losses, and per row the share it has among all less its share among the right ones."""
    logits = data.rows @ coefficients
    every, every_shares = _softmax(logits, data)
    right, right_shares = _softmax(np.where(data.right, logits, -np.inf), data)
    return every - right, every_shares - right_shares


def _softmax(logits: Floats, data: Stack) -> tuple[Floats, Floats]:
    """ln of the summed exponentials of each choice, and the share of each row."""
    top = np.maximum.reduceat(logits, data.starts)
    weights = np.exp(logits - top[data.owner])
    sums = np.add.reduceat(weights, data.starts)
    return top + np.log(sums), weights / sums[data.owner]


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
        losses, slack = _losses(coefficients, data)
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

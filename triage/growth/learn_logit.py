"""A conditional logit that starts from known coefficients: what little evidence there is moves them, no more."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from triage.matching.features import FEATURES, Seen

Floats = NDArray[np.float64]
Bounds = Sequence[tuple[float | None, float | None]]

NONE_COLUMNS = ("none", "elsewhere", "nearest")
COLUMNS = (*FEATURES, *NONE_COLUMNS)


@dataclass(frozen=True)
class Rows:
    """What the ranker saw of a question: the answers no firm fact speaks against, then "none fits" as the last row."""

    answers: tuple[str, ...]  # ids, in the order of the rows before the last
    matrix: Floats  # (answers + 1, len(COLUMNS))


def rows_of(seen: Seen, ids: Sequence[str], elsewhere: float) -> Rows:
    """The rows of a question, `ids` being those of the answers looked at; as the ranker weighs them."""
    kept = ~seen.excluded
    return Rows(tuple(id for id, stays in zip(ids, kept, strict=True) if stays), matrix_of(seen, elsewhere))


def matrix_of(seen: Seen, elsewhere: float) -> Floats:
    """Features of the answers no firm fact speaks against, then the row of "none fits", (answers + 1, columns)."""
    kept = ~seen.excluded
    matrix = np.zeros((int(kept.sum()) + 1, len(COLUMNS)))
    matrix[:-1, : len(FEATURES)] = seen.matrix[kept]
    matrix[-1, len(FEATURES) :] = (1.0, elsewhere, seen.nearest)
    return matrix


@dataclass(frozen=True)
class Stack:
    """Questions laid under one another: `starts` are their first rows, `owner` the question of each row."""

    rows: Floats  # (rows, columns)
    right: NDArray[np.bool_]
    weights: Floats  # (questions,)
    starts: NDArray[np.int64]
    owner: NDArray[np.int64]


def stack(rows: Sequence[Floats], right: Sequence[NDArray[np.bool_]], weights: Sequence[float]) -> Stack:
    """Lay questions under one another; each needs one row or more that may be right."""
    sizes = np.array([len(matrix) for matrix in rows])
    starts = np.concatenate([[0], np.cumsum(sizes)[:-1]]).astype(np.int64)
    owner = np.repeat(np.arange(len(rows)), sizes).astype(np.int64)
    return Stack(np.concatenate(rows), np.concatenate(right), np.array(weights, np.float64), starts, owner)


def log_losses(coefficients: Floats, data: Stack) -> Floats:
    """-ln P(a right row) of each question, shape (questions,)."""
    return losses_and_slack(coefficients, data)[0]


def losses_and_slack(coefficients: Floats, data: Stack) -> tuple[Floats, Floats]:
    """Losses, and per row its share among all less its share among the right ones."""
    logits = data.rows @ coefficients
    every, every_shares = _softmax(logits, data)
    right, right_shares = _softmax(np.where(data.right, logits, -np.inf), data)
    return every - right, every_shares - right_shares


def _softmax(logits: Floats, data: Stack) -> tuple[Floats, Floats]:
    top = np.maximum.reduceat(logits, data.starts)
    weights = np.exp(logits - top[data.owner])
    sums = np.add.reduceat(weights, data.starts)
    return top + np.log(sums), weights / sums[data.owner]


def fit(data: Stack, known: Floats, worth: float, bounds: Bounds) -> Floats:
    """The likeliest coefficients when the `known` ones are taken for what `worth` earlier questions taught.

    Least sum of weighted log losses + worth/2 x the squared distance from `known`, each column in units of its
    spread: maximum a posteriori under a normal prior around `known` (Murphy, "Machine Learning: A Probabilistic
    Perspective", 2012, section 8.3.6). A column that tells nothing apart stays as it is. The target is convex. Raises
    ValueError when the optimiser does not settle.
    """
    from scipy.optimize import minimize

    stiff = worth * np.maximum(data.rows.var(axis=0), 1e-6)

    def target(coefficients: Floats) -> tuple[float, Floats]:
        losses, slack = losses_and_slack(coefficients, data)
        away = coefficients - known
        slope = data.rows.T @ (slack * data.weights[data.owner]) + stiff * away
        return float(losses @ data.weights + stiff @ away**2 / 2), slope

    options = {"maxiter": 2000, "maxfun": 8000, "ftol": 1e-10, "gtol": 1e-5}
    found = minimize(target, known, jac=True, bounds=bounds, method="L-BFGS-B", options=options)
    if not found.success:
        raise ValueError(f"The fit did not settle: {found.message}")
    return np.asarray(found.x, np.float64)

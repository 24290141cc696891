"""Are probabilities worth their name? Calibration by bins, and how well a score tells two kinds apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sklearn.metrics import roc_auc_score

BINS = 10


@dataclass(frozen=True, slots=True)
class Bin:
    """The predictions whose confidence lies in [low, low + 1/bins); the last bin includes 1."""

    low: float
    count: int
    confidence: float  # mean
    accuracy: float

    @property
    def gap(self) -> float:
        """How far confidence and accuracy lie apart."""
        return abs(self.accuracy - self.confidence)


def reliability(confidences: Sequence[float], rights: Sequence[bool], bins: int = BINS) -> list[Bin]:
    """The bins that hold a prediction, lowest confidence first; confidences in 0..1."""
    filled: dict[int, list[tuple[float, bool]]] = {}
    for item in zip(confidences, rights, strict=True):
        filled.setdefault(min(int(item[0] * bins), bins - 1), []).append(item)
    return [_bin(number / bins, items) for number, items in sorted(filled.items())]


def _bin(low: float, items: list[tuple[float, bool]]) -> Bin:
    count = len(items)
    return Bin(low, count, sum(c for c, _ in items) / count, sum(right for _, right in items) / count)


def expected_error(table: Sequence[Bin]) -> float | None:
    """Expected calibration error: the bins' gaps weighted by their counts; None without predictions.

    Source: Guo et al. 2017. It is biased upwards for few predictions.
    """
    count = sum(item.count for item in table)
    return sum(item.count * item.gap for item in table) / count if count else None


def largest_error(table: Sequence[Bin]) -> float | None:
    """Maximum calibration error: the widest gap of a bin; None without predictions."""
    return max((item.gap for item in table), default=None)


def auroc(kinds: Sequence[bool], scores: Sequence[float]) -> float | None:
    """Chance that one of the true kind scores higher than one of the other; None when a kind is missing."""
    if len(set(kinds)) < 2:
        return None
    return float(roc_auc_score(kinds, scores))

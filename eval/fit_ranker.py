"""Fit the weights that rank answers, on the tuning questions of both shops.

    python -m eval.fit_ranker [--to FILE] [--dry]

The new ranker is judged on questions it was not fitted on (cross-validation by question, its temperature and its
score of "none" included) against the present one, by log loss; only a better one is written. The present ranker may
itself have been fitted on these questions, which can only make it look better than it is.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from eval.choices import Choice, choices
from eval.labels import check_labels, load_labels
from eval.logit import Bounds, fit, log_losses, stack
from eval.shops import HERE, ShopLabels, opened, shops
from eval.split import part_of, tenth
from triage.matching.rank import FEATURES, RANKER_FILE, Ranker

Floats = NDArray[np.float64]

FOLDS = 5
PENALTY = 1e-4  # of 1e-5 to 1e-2 the one with the least held-out loss; from 3e-4 downwards it hardly matters
# What a feature means fixes the sign of its weight, whatever a small sample says.
_AGAINST = frozenset({"open", "symptom_miss"})
_SIGNS: Bounds = [(None, 0.0) if name in _AGAINST else (0.0, None) for name in FEATURES]
_BOUNDS: Bounds = [*_SIGNS, (None, None), (0.0, None)]  # none, none_slack
_CALIBRATION_BOUNDS: Bounds = [(0.05, None), (None, None), (0.0, None)]


@dataclass(frozen=True, slots=True)
class Measured:
    """How a ranker does on questions."""

    log_loss: float
    right_first: float  # over the choices; "none" is right where nothing fits


def coefficients_of(ranker: Ranker) -> Floats:
    """The ranker as coefficients of the columns of a choice; its temperature is counted in."""
    slack = ranker.none_gap + ranker.weights[0]
    return np.array([*ranker.weights, ranker.none, slack]) / ranker.temperature


def fit_ranker(learn: Sequence[Choice], start: Ranker) -> Ranker:
    """Weights from all choices; temperature, none and none_gap from scores of folds the weights were not fitted on."""
    plain = coefficients_of(start)
    held_out = []
    for part in range(FOLDS):
        rest = [choice for choice in learn if fold_of(choice) != part]
        weights = fit(stack(rest), plain, _BOUNDS, PENALTY)[: len(FEATURES)]
        held_out += [_scored(choice, weights) for choice in learn if fold_of(choice) == part]
    weights = fit(stack(learn), plain, _BOUNDS, PENALTY)[: len(FEATURES)]
    first = np.array([1.0, *plain[len(FEATURES) :]])
    sharpness, none, slack = fit(stack(held_out), first, _CALIBRATION_BOUNDS, PENALTY)
    temperature = 1.0 / sharpness
    none_gap = slack * temperature - weights[0]
    return Ranker(tuple(weights.tolist()), float(none * temperature), float(none_gap), float(temperature))


def fold_of(choice: Choice) -> int:
    """The fold of a question, by its name alone."""
    return tenth(f"fold {choice.id}") % FOLDS


def _scored(choice: Choice, weights: Floats) -> Choice:
    """The choice with its features summed up into one score; none's columns stay."""
    score = choice.rows[:, : len(FEATURES)] @ weights
    return Choice(choice.id, np.column_stack([score, choice.rows[:, len(FEATURES) :]]), choice.right)


def measure(ranker: Ranker, judged: Sequence[Choice]) -> Measured:
    """Mean log loss and share right."""
    return _summed([_measured(ranker, choice) for choice in judged])


def held_out_measure(learn: Sequence[Choice], start: Ranker) -> Measured:
    """The same for the whole fitting, calibration included, each question judged by a ranker that never saw it."""
    results = []
    for part in range(FOLDS):
        ranker = fit_ranker([choice for choice in learn if fold_of(choice) != part], start)
        results += [_measured(ranker, choice) for choice in learn if fold_of(choice) == part]
    return _summed(results)


def _measured(ranker: Ranker, choice: Choice) -> tuple[float, bool]:
    coefficients = coefficients_of(ranker)
    best = int(np.argmax(choice.rows @ coefficients))
    return float(log_losses(coefficients, stack([choice]))[0]), bool(choice.right[best])


def _summed(results: Sequence[tuple[float, bool]]) -> Measured:
    losses, rights = zip(*results, strict=True)
    return Measured(float(np.mean(losses)), float(np.mean(rights)))


def load_choices(choice: Sequence[ShopLabels]) -> list[Choice]:
    """The tuning questions of the shops, as the ranker sees them."""
    result = []
    for shop in choice:
        labels = load_labels(shop.questions)
        with opened(shop) as stages:
            check_labels(labels, stages.pack, symptom_ids=not shop.plain_symptoms)
            result += choices([label for label in labels if part_of(label.id) == "tuning"], stages, shop.name)
    return result


def write_ranker(ranker: Ranker, file: Path) -> None:
    """Write a ranker as `Ranker.load` reads it."""
    record = {
        "features": list(FEATURES), "weights": [round(weight, 4) for weight in ranker.weights],
        "none": round(ranker.none, 4), "none_gap": round(ranker.none_gap, 4),
        "temperature": round(ranker.temperature, 4),
    }  # fmt: skip
    lines = [f"  {json.dumps(key)}: {json.dumps(value)}" for key, value in record.items()]
    file.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")


def main(arguments: Sequence[str] | None = None) -> int:
    """The command; returns its exit code."""
    parser = argparse.ArgumentParser(prog="python -m eval.fit_ranker", description="Fit the ranker's weights.")
    parser.add_argument("--to", type=Path, default=RANKER_FILE, help="the ranker to compare with and to replace")
    parser.add_argument("--labels", type=Path, default=HERE, help="folder with demo_shop/ and second_shop/")
    parser.add_argument("--dry", action="store_true", help="fit and print, write nothing")
    options = parser.parse_args(arguments)
    loaded = load_choices(shops("all", options.labels))
    learn = [choice for choice in loaded if choice.right.any()]
    present = Ranker.load(options.to)
    fitted = fit_ranker(learn, present)
    before, after, seen = measure(present, learn), held_out_measure(learn, present), measure(fitted, learn)
    lost = [choice.id for choice in loaded if not choice.right.any()]
    print(
        f"{len(learn)} questions; left out, as a fact read speaks against the right answer: {', '.join(lost) or 'none'}"
    )
    print(_shown("present", present, before), _shown("fitted, held out", fitted, after), sep="\n")
    print(f"fitted, on the questions seen: log loss {seen.log_loss:.4f}, right first {seen.right_first:.3f}")
    better = after.log_loss < before.log_loss
    if better and not options.dry:
        write_ranker(fitted, options.to)
    print(f"Better on held-out folds: {'yes' if better else 'no'}. {_done(better, options.dry, options.to)}")
    return 0


def _shown(name: str, ranker: Ranker, measured: Measured) -> str:
    weights = ", ".join(f"{key} {value:.2f}" for key, value in zip(FEATURES, ranker.weights, strict=True))
    return (
        f"{name}: log loss {measured.log_loss:.4f}, right first {measured.right_first:.3f}; {weights}; "
        f"none {ranker.none:.2f}, none_gap {ranker.none_gap:.2f}, temperature {ranker.temperature:.2f}"
    )


def _done(better: bool, dry: bool, file: Path) -> str:
    return f"Written to {file}." if better and not dry else "Nothing written."


if __name__ == "__main__":
    sys.exit(main())

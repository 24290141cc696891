"""Fit the weights that rank answers, on the tuning questions of all shops.

    python -m eval.fit_ranker [--to FILE] [--dry] [--always]

The figure that counts is that for a shop the ranker was not fitted on. The demo shop is learned from twice, as it is
and as a spreadsheet would bring it: without variants, symptoms or intents. The new ranker is judged shop by shop,
each by a ranker that never saw it (temperature and score of "none" included), against the present one, by log loss;
only a better one is written. The present ranker may itself have been fitted on these questions, which can only make
it look better than it is: --always writes the new one all the same, as after a change to what is read of a question.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from eval.choices import Choice, choices
from eval.labels import Labelled, check_labels, load_labels
from eval.logit import fit, probabilities, stack
from eval.shops import HERE, ShopLabels, bare, opened, shops
from eval.split import part_of, tenth
from triage.growth.learn_logit import Bounds, log_losses
from triage.matching.conformal import threshold
from triage.matching.features import AGAINST, FEATURES, NEIGHBOURS
from triage.matching.rank import RANKER_FILE, Ranker

Floats = NDArray[np.float64]

FOLDS = 5
PENALTY = 0.03  # on standardised columns; of 0.01, 0.03 and 0.1 the one with the least loss on the other shops
MISS = 0.1  # of conformal sets: one right answer in ten may be outside
NEIGHBOUR = -1.0  # an answer for another vehicle loses at least this much, whatever a small sample says
# What a feature means fixes the sign of its weight.
REFUSED = -3.0  # at most, however sure a small sample is: a denial may be misread
_AGAINST: Bounds = [(None, NEIGHBOUR) if name in NEIGHBOURS else (REFUSED, 0.0) for name in FEATURES]
_SIGNS: Bounds = [bound if name in AGAINST else (0.0, None) for name, bound in zip(FEATURES, _AGAINST, strict=True)]
_NONE: Bounds = [(None, None), (0.0, None), (None, None)]  # none, elsewhere, nearest
_BOUNDS: Bounds = [*_SIGNS, *_NONE]
_CALIBRATION_BOUNDS: Bounds = [(0.05, None), *_NONE]
UNFITTED = Ranker((0.0,) * len(FEATURES), 0.0)  # the shipped one may be for other features than these
Part = Callable[[Choice], object]  # questions of one part are fitted on, or judged, together


@dataclass(frozen=True, slots=True)
class Measured:
    """How a ranker does on questions."""

    log_loss: float
    right_first: float  # over the choices; "none" is right where nothing fits


def coefficients_of(ranker: Ranker) -> Floats:
    """The ranker as coefficients of the columns of a choice; its temperature is counted in."""
    return np.array([*ranker.weights, ranker.none, ranker.elsewhere, ranker.nearest]) / ranker.temperature


def fit_ranker(learn: Sequence[Choice]) -> Ranker:
    """Weights from all choices; temperature, none and the set's limit from scores the weights were not fitted on."""
    scored = stack(_scored_apart(learn))
    weights = _fitted(learn)[: len(FEATURES)]
    calibration = fit(scored, np.array([1.0, 0.0, 0.0, 0.0]), _CALIBRATION_BOUNDS, 0.0)
    temperature = 1.0 / calibration[0]
    none, elsewhere, nearest = (float(weight) for weight in calibration[1:] * temperature)
    ranker = Ranker(tuple(weights.tolist()), none, elsewhere, float(temperature), nearest=nearest)
    return replace(ranker, within=min(1.0, threshold(_misfits(calibration, _scored_apart(learn)), MISS)))


def _scored_apart(learn: Sequence[Choice]) -> list[Choice]:
    """Choices with their features summed up into one score by weights that never saw their part."""
    parts = part_by_shop if len({part_by_shop(choice) for choice in learn}) > 1 else part_by_question
    result = []
    for part in sorted({parts(choice) for choice in learn}, key=str):
        weights = _fitted([choice for choice in learn if parts(choice) != part])[: len(FEATURES)]
        result += [_scored(choice, weights) for choice in learn if parts(choice) == part]
    return result


def _fitted(learn: Sequence[Choice]) -> Floats:
    return fit(stack(learn), np.zeros(len(_BOUNDS)), _BOUNDS, PENALTY)


def _misfits(calibration: Floats, scored: Sequence[Choice]) -> list[float]:
    """1 - probability of the right answer, of questions that have one."""
    answered = [choice for choice in scored if not choice.right[-1]]
    return [1.0 - float(probabilities(choice.rows @ calibration)[choice.right].max()) for choice in answered]


def part_by_shop(choice: Choice) -> object:
    """A shop is held out as a whole, in both its forms."""
    return choice.shop.removesuffix(" bare")


def part_by_question(choice: Choice) -> object:
    """The fold of a question, by its name alone: the same in both forms of a shop."""
    return tenth(f"fold {choice.id.partition(':')[2]}") % FOLDS


def _scored(choice: Choice, weights: Floats) -> Choice:
    """The choice with its features summed up into one score; none's columns stay."""
    score = choice.rows[:, : len(FEATURES)] @ weights
    return Choice(choice.id, np.column_stack([score, choice.rows[:, len(FEATURES) :]]), choice.right)


def measure(ranker: Ranker, judged: Sequence[Choice]) -> Measured:
    """Mean log loss and share right."""
    return _summed([_measured(ranker, choice) for choice in judged])


def held_out_measure(learn: Sequence[Choice], parts: Part = part_by_shop) -> Measured:
    """The same for the whole fitting, calibration included, each part judged by a ranker that never saw it."""
    results = []
    for part in sorted({parts(choice) for choice in learn}, key=str):
        ranker = fit_ranker([choice for choice in learn if parts(choice) != part])
        results += [_measured(ranker, choice) for choice in learn if parts(choice) == part]
    return _summed(results)


def _measured(ranker: Ranker, choice: Choice) -> tuple[float, bool]:
    coefficients = coefficients_of(ranker)
    best = int(np.argmax(choice.rows @ coefficients))
    return float(log_losses(coefficients, stack([choice]))[0]), bool(choice.right[best])


def _summed(results: Sequence[tuple[float, bool]]) -> Measured:
    losses, rights = zip(*results, strict=True)
    return Measured(float(np.mean(losses)), float(np.mean(rights)))


def load_choices(choice: Sequence[ShopLabels], part: str = "tuning") -> list[Choice]:
    """The questions of the shops' part as the ranker sees them; of the demo shop also asked to its bare answers."""
    result = []
    for shop in choice:
        labels = load_labels(shop.questions)
        kept: list[Labelled] = [label for label in labels if part_of(label.id, shop.name) == part]
        if not kept:
            continue
        with opened(shop, UNFITTED) as stages:
            check_labels(labels, stages.pack, symptom_ids=not shop.plain_symptoms)
            result += choices(kept, stages, shop.name)
            if not shop.imported:
                result += choices(kept, bare(stages), f"{shop.name} bare")
    return result


def write_ranker(ranker: Ranker, file: Path) -> None:
    """Write a ranker as `Ranker.load` reads it."""
    record = {
        "features": list(FEATURES), "weights": [round(weight, 4) for weight in ranker.weights],
        "none": round(ranker.none, 4), "elsewhere": round(ranker.elsewhere, 4), "nearest": round(ranker.nearest, 4),
        "temperature": round(ranker.temperature, 4), "within": round(ranker.within, 4),
    }  # fmt: skip
    lines = [f"  {json.dumps(key)}: {json.dumps(value)}" for key, value in record.items()]
    file.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")


def main(arguments: Sequence[str] | None = None) -> int:
    """The command; returns its exit code."""
    parser = argparse.ArgumentParser(prog="python -m eval.fit_ranker", description="Fit the ranker's weights.")
    parser.add_argument("--to", type=Path, default=RANKER_FILE, help="the ranker to compare with and to replace")
    parser.add_argument("--labels", type=Path, default=HERE, help="folder with demo_shop/ and the other shops")
    parser.add_argument("--dry", action="store_true", help="fit and print, write nothing")
    parser.add_argument("--always", action="store_true", help="write it even where the present one looks better")
    options = parser.parse_args(arguments)
    loaded = load_choices(shops("all", options.labels))
    learn = [choice for choice in loaded if choice.right.any()]
    fitted, apart = fit_ranker(learn), held_out_measure(learn)
    seen = measure(fitted, learn)
    lost = [choice.id for choice in loaded if not choice.right.any()]
    print(f"{len(learn)} choices; left out, as a fact speaks against the right answer: {', '.join(lost) or 'none'}")
    print(_shown("fitted, each shop by the others", fitted, apart))
    print(f"fitted, on the questions seen: log loss {seen.log_loss:.4f}, right first {seen.right_first:.3f}")
    better = _is_better(apart, options.to, learn)
    written = (better or options.always) and not options.dry
    if written:
        write_ranker(fitted, options.to)
    print(
        f"Better on the shops it was not fitted on: {'yes' if better else 'no'}. "
        f"{f'Written to {options.to}.' if written else 'Nothing written.'}"
    )
    return 0


def _is_better(apart: Measured, file: Path, learn: Sequence[Choice]) -> bool:
    """A present ranker for other features cannot be compared and gives way."""
    try:
        present = Ranker.load(file)
    except (ValueError, FileNotFoundError):
        return True
    before = measure(present, learn)
    print(_shown("present", present, before))
    return apart.log_loss < before.log_loss


def _shown(name: str, ranker: Ranker, measured: Measured) -> str:
    weights = ", ".join(f"{key} {value:.2f}" for key, value in zip(FEATURES, ranker.weights, strict=True))
    return (
        f"{name}: log loss {measured.log_loss:.4f}, right first {measured.right_first:.3f}; {weights}; none "
        f"{ranker.none:.2f}, elsewhere {ranker.elsewhere:.2f}, nearest {ranker.nearest:.2f}, "
        f"temperature {ranker.temperature:.2f}, set within {ranker.within:.2f}"
    )


if __name__ == "__main__":
    sys.exit(main())

"""What each group of features is worth: the ranker refitted without it, and with it alone.

    python -m eval.ablation [--out FILE]

Every figure is for a shop the ranker was not fitted on (tuning questions only). Deterministic.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from eval.calibration import auroc, expected_error, reliability
from eval.choices import COLUMNS, Choice
from eval.counts import Share, share_of
from eval.fit_ranker import coefficients_of, fit_ranker, load_choices, part_by_shop
from eval.logit import probabilities
from eval.shops import HERE, shops
from eval.tables import number, share, table
from triage.matching.features import FEATURES

GROUPS = {
    "meaning of the whole": ("whole", "full", "passage", "title"),
    "meaning of pieces": ("votes",),
    "words": ("words",),
    "spelling": ("grams",),
    "parts": ("parts",),
    "symptoms": ("symptoms",),
    "danger": ("danger", "perils"),
    "what is wanted": ("wants",),
    "what was denied": ("refused",),
    "facts it turns on": ("needs",),
    "fit to the vehicle": ("agrees",),
    "near neighbours": ("doubts", "foreign", "contested"),
    "other post": ("elsewhere",),
    "how near any comes": ("nearest",),
}

FULL = "demo"  # the one shop whose answers come with variants and history; "demo bare" is judged in its place


@dataclass(frozen=True, slots=True)
class Outcome:
    """One question to a shop the ranker did not know."""

    right: bool  # the likeliest answer is accepted
    three: bool  # one of the first three is
    best: float  # probability of the likeliest answer
    none: bool  # no answer is right


def blanked(choices: Iterable[Choice], kept: Iterable[str]) -> list[Choice]:
    """The choices with every column but these (and none's own) as 0."""
    mask = np.array([name in {*kept, "none"} for name in COLUMNS], dtype=float)
    return [replace(choice, rows=choice.rows * mask) for choice in choices]


def outcomes(choices: Sequence[Choice]) -> list[Outcome]:
    """Each question judged by a ranker fitted on the other shops; where the right answer is excluded, it is wrong."""
    result = []
    for part in sorted({str(part_by_shop(choice)) for choice in choices}):
        learn = [choice for choice in choices if part_by_shop(choice) != part and choice.right.any()]
        coefficients = coefficients_of(fit_ranker(learn))
        judged = [choice for choice in choices if part_by_shop(choice) == part and choice.shop != FULL]
        result += [_outcome(choice, coefficients) for choice in judged]
    return result


def _outcome(choice: Choice, coefficients: np.ndarray) -> Outcome:
    shares = probabilities(choice.rows @ coefficients)[:-1]
    order = np.argsort(-shares, kind="stable")
    first, three = choice.right[order[:1]], choice.right[order[:3]]
    return Outcome(bool(first.any()), bool(three.any()), float(shares.max(initial=0.0)), bool(choice.right[-1]))


def row_of(name: str, judged: Sequence[Outcome]) -> list[str]:
    """Right first, among three, AUROC of none, calibration error, wrong at 80 % coverage."""
    asked = [item for item in judged if not item.none]
    bins = reliability([item.best for item in judged], [item.right for item in judged])
    surest = sorted(judged, key=lambda item: -item.best)[: round(0.8 * len(judged))]
    wrong: Share = share_of([not item.right for item in surest])
    return [
        name, share(share_of([item.right for item in asked])), share(share_of([item.three for item in asked])),
        number(auroc([item.none for item in judged], [-item.best for item in judged])),
        number(expected_error(bins)), share(wrong),
    ]  # fmt: skip


def ablation(choices: Sequence[Choice]) -> str:
    """The table as Markdown."""
    every = (*FEATURES, "elsewhere", "nearest")
    rows = [row_of("all", outcomes(choices))]
    for name, group in GROUPS.items():
        rows.append(row_of(f"without {name}", outcomes(blanked(choices, [n for n in every if n not in group]))))
    rows += [row_of(f"{name} alone", outcomes(blanked(choices, group))) for name, group in GROUPS.items()]
    header = ["features", "right first", "among three", "none fits AUROC", "calibration error", "wrong at 80 %"]
    about = (
        "Each shop by a ranker fitted on the other ones; tuning questions. All shops' answers are as a spreadsheet "
        "brings them, without variants or history. Shares carry Wilson's 95 % interval."
    )
    return f"# What each group of features is worth\n\n{about}\n\n{table(header, rows)}\n"


def main(arguments: Sequence[str] | None = None) -> int:
    """The command; returns its exit code."""
    parser = argparse.ArgumentParser(prog="python -m eval.ablation", description="What each feature is worth.")
    parser.add_argument("--labels", type=Path, default=HERE, help="folder with demo_shop/ and the other shops")
    parser.add_argument("--out", type=Path, default=Path("eval-report/ablation.md"))
    options = parser.parse_args(arguments)
    text = ablation(load_choices(shops("all", options.labels)))
    options.out.parent.mkdir(parents=True, exist_ok=True)
    options.out.write_text(text, encoding="utf-8")
    print(text)
    return 0


if __name__ == "__main__":
    sys.exit(main())

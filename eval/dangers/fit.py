"""Fit how much each sign of a danger weighs, on stories whose own sentences were not learnt from, and on questions.

    python -m eval.dangers.fit

Writes triage/safety/weights.json. Each story is read by a machine that learnt without the story's own sentences (in
FOLDS parts). Which piece tells a hazard is chosen anew after each fit, starting with the likest (multi-instance
learning; Andrews and others, "Support Vector Machines for Multiple-Instance Learning", 2002, from memory).
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass

import numpy as np
from numpy.typing import NDArray

from eval.dangers.read import stages_and_vectors, understood
from eval.dangers.stories import Story, known_to, questions, stories
from eval.split import tenth
from triage.engine import VectorCache
from triage.pack import Pack
from triage.pipeline import Stages, Understood
from triage.safety.fit import Learnt, learn
from triage.safety.keep import lessons_of
from triage.safety.meaning import HazardMeaning
from triage.safety.standing import Standings
from triage.safety.weigh import SHIPPED, Weights, piece_signs

FOLDS = 3
ROUNDS = 4
RECALL_COUNTS = 1.3  # so many times as much as precision, where the threshold for noting is chosen
CALM_PRESSED = 0.08  # share of calm messages whose signs alone may call them urgent
KINDS = ("reported", "planned", "trouble", "work")
Rows = NDArray[np.float64]


@dataclass(frozen=True)
class Example:
    """The signs of one message: by piece (pieces, hazards, 4), of the message (hazards, 5), and its hazards."""

    pieces: Rows
    message: Rows
    told: NDArray[np.bool_]


def fitted(examples: Sequence[Example]) -> Weights:
    """The weights of all signs, with both thresholds."""
    from sklearn.linear_model import LogisticRegression

    told = np.array([example.told for example in examples])
    signs = np.eye(4)[0]
    for _ in range(ROUNDS):
        rows = np.array([_chosen(example, signs) for example in examples])
        flat = rows.reshape(-1, rows.shape[2])
        spread = flat.std(axis=0) + 1e-9
        model = LogisticRegression(max_iter=400).fit(flat / spread, told.ravel())
        weights = model.coef_[0] / spread
        signs = weights[:4]
    odds = np.array([_odds(example, weights) for example in examples]) + float(model.intercept_[0])
    noted, pressing = _best(odds, told), _calm_enough(odds[~told.any(axis=1)])
    return Weights(*(round(float(value), 3) for value in (model.intercept_[0], *weights, noted, pressing)))


def _chosen(example: Example, signs: Rows) -> Rows:
    best = (example.pieces @ signs).argmax(axis=0)
    return np.hstack([example.pieces[best, np.arange(len(best))], example.message])


def _odds(example: Example, weights: Rows) -> Rows:
    result: Rows = (example.pieces @ weights[:4]).max(axis=0) + example.message @ weights[4:]
    return result


def _best(odds: Rows, told: NDArray[np.bool_]) -> float:
    """The threshold with the best F score over all hazards."""
    levels = np.sort(odds[odds > np.quantile(odds, 0.9)])
    right = np.array([told[odds >= level].sum() for level in levels])
    noted = len(levels) - np.arange(len(levels))
    return float(levels[(right / (noted + RECALL_COUNTS**2 * told.sum())).argmax()])


def _calm_enough(calm: Rows) -> float:
    return float(np.quantile(calm.max(axis=1), 1 - CALM_PRESSED))


def examples(told: Sequence[Story], read: Iterable[Understood], stages: Stages, learnt: Learnt) -> list[Example]:
    """The signs of each message as a machine sees them."""
    meaning = HazardMeaning(learnt, Weights.load())
    return [_example(story, item, stages, meaning) for story, item in zip(told, read, strict=True)]


def _example(story: Story, read: Understood, stages: Stages, meaning: HazardMeaning) -> Example:
    standings = Standings(read.document)
    bounds = read.vectors.bounds
    likeness = meaning.scores(standings, bounds, read.vectors.pieces)
    pieces = piece_signs(likeness, [last - first for first, last in bounds])
    found = stages.hazards.signs(standings, read.facts)
    names = sorted(meaning.hazards)
    signs = np.array([[float(kind in found.get(name, {})) for kind in KINDS] for name in names])
    message = np.hstack([likeness.mean(axis=0)[:, None], signs])
    return Example(pieces.astype(float), message, np.array([name in story.hazards for name in names]))


def without(held: Sequence[Story], pack: Pack, vectors: VectorCache) -> Learnt:
    """The machine as it would be had these stories never been seen."""
    kept = [lesson for lesson in lessons_of(pack) if not known_to(held, lesson.text)]
    return learn(kept, vectors.encode([lesson.text for lesson in kept]))


def main() -> int:
    """The command; returns its exit code."""
    stages, vectors = stages_and_vectors()
    told = stories("learn")
    found: list[Example] = []
    for fold in range(FOLDS):
        held = [story for story in told if tenth(f"fold {story.id}") % FOLDS == fold]
        found += examples(held, understood(held, stages), stages, without(held, stages.pack, vectors))
    asked = questions()
    found += examples(asked, understood(asked, stages), stages, stages.hazards.meaning.learnt)
    vectors.save()
    weights = fitted(found)
    SHIPPED.write_text(json.dumps(asdict(weights), indent=2) + "\n", encoding="utf-8")
    print(weights)
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""What the ranker sees of a labelled question: its features per answer, and which choices are right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eval.labels import Labelled
from triage.matching.rank import FEATURES, Ask, features
from triage.model import Question
from triage.pipeline import Stages, ask_for, understand

Floats = NDArray[np.float64]

NONE_COLUMNS = ("none", "none_slack")
COLUMNS = (*FEATURES, *NONE_COLUMNS)


@dataclass(frozen=True)
class Choice:
    """One question: the answers no firm fact speaks against, then "none fits" as the last row.

    The columns are the features, 1 for none, and (none only) the gap: how far the best likeness ("whole") lies under 1.
    None also carries minus the gap as its "whole", so that the last coefficient is none_gap + the weight of "whole".
    That sum is what must not be negative: a better likeness may never make "none" likelier against that answer.
    """

    id: str
    rows: Floats  # (answers + 1, len(COLUMNS))
    right: NDArray[np.bool_]  # (answers + 1,)


def choice_of(matrix: Floats, excluded: NDArray[np.bool_], right: NDArray[np.bool_], none: bool, name: str) -> Choice:
    """A choice from a feature matrix (answers, features), with marks per answer and whether none is right."""
    open_rows = matrix[~excluded]
    rows = np.zeros((len(open_rows) + 1, len(COLUMNS)))
    rows[:-1, : len(FEATURES)] = open_rows
    gap = 1.0 - float(open_rows[:, 0].max(initial=0.0))
    rows[-1, 0] = -gap
    rows[-1, len(FEATURES) :] = (1.0, gap)
    return Choice(name, rows, np.append(right[~excluded], none))


def choices(labels: Iterable[Labelled], stages: Stages, shop: str) -> list[Choice]:
    """The choices of a shop's questions, in their order."""
    return [_choice(label, stages, f"{shop}:{label.id}") for label in labels]


def _choice(label: Labelled, stages: Stages, name: str) -> Choice:
    matrix, fits = features(stages.index, ask_of(label, stages))
    right = np.array([answer.id in label.accepted for answer in stages.index.answers], dtype=bool)
    excluded = np.array([item.excluded for item in fits], dtype=bool)
    return choice_of(matrix, excluded, right, label.answer is None, name)


def ask_of(label: Labelled, stages: Stages) -> Ask:
    """What ranking is asked, made by the pipeline's own steps."""
    question = Question(label.id, label.text, label.subject)
    return ask_for(question, understand(question, stages))

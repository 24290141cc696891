"""What the ranker sees of a labelled question: its features per answer, and which choices are right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eval.labels import Labelled
from triage.growth.learn_logit import COLUMNS, Floats, matrix_of
from triage.matching.features import Ask, Seen, features
from triage.model import Question
from triage.pipeline import Stages, ask_for, understand

__all__ = ["COLUMNS", "Choice", "ask_of", "choice_of", "choices"]


@dataclass(frozen=True)
class Choice:
    """One question: the answers no firm fact speaks against, then "none fits" as the last row.

    The columns are the features, then (none only) 1, how much the question sounds like post no answer is for, and how
    near any answer can come.
    """

    id: str
    rows: Floats  # (answers + 1, len(COLUMNS))
    right: NDArray[np.bool_]  # (answers + 1,)

    @property
    def shop(self) -> str:
        """The shop the question was put to."""
        return self.id.partition(":")[0]


def choice_of(seen: Seen, elsewhere: float, right: NDArray[np.bool_], none: bool, name: str) -> Choice:
    """A choice from what ranking sees, with marks per answer seen and whether none is right."""
    return Choice(name, matrix_of(seen, elsewhere), np.append(right[~seen.excluded], none))


def choices(labels: Iterable[Labelled], stages: Stages, shop: str) -> list[Choice]:
    """The choices of a shop's questions, in their order."""
    return [_choice(label, stages, f"{shop}:{label.id}") for label in labels]


def _choice(label: Labelled, stages: Stages, name: str) -> Choice:
    ask = ask_of(label, stages)
    seen = features(stages.index, ask)
    right = np.array([stages.index.answers[number].id in label.accepted for number in seen.numbers], dtype=bool)
    return choice_of(seen, ask.elsewhere, right, label.answer is None, name)


def ask_of(label: Labelled, stages: Stages) -> Ask:
    """What ranking is asked, made by the pipeline's own steps."""
    question = Question(label.id, label.text, label.subject)
    return ask_for(question, understand(question, stages), stages)

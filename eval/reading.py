"""Put labelled questions to the program and to the simple rankers."""

from __future__ import annotations

from collections.abc import Iterable

from eval.baselines import baselines, ranking
from eval.cases import Case
from eval.catalogue import fuller_models
from eval.labels import Labelled
from eval.shops import ShopLabels
from triage.model import Question
from triage.pipeline import Stages, read


def read_all(shop: ShopLabels, labels: Iterable[Labelled], stages: Stages) -> list[Case]:
    """The program's reading of each question, and what the simple rankers say of it."""
    answers = stages.pack.answers
    rankers = baselines(answers, stages.encoder)
    cases = []
    for label in labels:
        reading = read(Question(label.id, label.text, label.subject), stages)
        text = f"{label.subject} {label.text}".strip()
        others = {name: ranking(score(text), answers) for name, score in rankers.items()}
        models = fuller_models(label, stages.pack)
        cases.append(Case(shop.name, label, reading, others, models, shop.plain_symptoms))
    return cases

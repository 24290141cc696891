"""One shop's questions put to the program once: readings, dialogues, traced drafts, and what the ranker saw."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from eval.cases import Case
from eval.choices import Choice, choices
from eval.dialogue import POLICIES, Dialogue, asker_for, hold
from eval.labels import Labelled, check_labels, load_labels
from eval.metrics_drafts import Traced, traced
from eval.reading import read_all
from eval.remembering import remembering
from eval.shops import ShopLabels, bare, opened
from eval.split import part_of
from eval.vehicle_kinds import drive_of, name_of
from triage.pipeline import Stages

Talks = Mapping[str, Dialogue]  # way of asking -> how it went


@dataclass(frozen=True)
class Asked:
    """One question, and all that was made of it."""

    case: Case
    talks: Talks  # empty where no answer fits
    draft: Traced
    drive: str
    name: str

    @property
    def key(self) -> str:
        """Shop and id."""
        return f"{self.case.shop} {self.case.gold.id}"


@dataclass(frozen=True)
class Gathered:
    """A shop's questions, and the choices of those that may be tuned on."""

    asked: tuple[Asked, ...]
    choices: tuple[Choice, ...]


def gather(shop: ShopLabels) -> Gathered:
    """Open the shop once and do it all. Raises LabelError or PackError with every problem of its files."""
    labels = load_labels(shop.questions)
    with opened(shop) as fresh:
        check_labels(labels, fresh.pack, symptom_ids=not shop.plain_symptoms)
        stages = remembering(fresh)
        asked = tuple(_asked(case, stages) for case in read_all(shop, labels, stages))
        tuning = [label for label in labels if part_of(label.id, shop.name) == "tuning"]
        return Gathered(asked, tuple(_choices(shop, tuning, stages)))


def _asked(case: Case, stages: Stages) -> Asked:
    vehicles = stages.pack.vehicles
    draft = traced(case.reading, stages.pack, stages.book)
    return Asked(case, _talks(case, stages), draft, drive_of(case.gold, vehicles), name_of(case.gold, vehicles))


def _talks(case: Case, stages: Stages) -> Talks:
    if case.gold.answer is None:
        return {}
    asker = asker_for(case.gold, stages.pack)
    return {name: hold(case.gold, case.reading, asker, policy, stages) for name, policy in POLICIES.items()}


def _choices(shop: ShopLabels, tuning: Sequence[Labelled], stages: Stages) -> list[Choice]:
    """As a ranker is fitted on: of the demo shop also asked to its bare answers."""
    if not tuning:
        return []
    found = choices(tuning, stages, shop.name)
    return found if shop.imported else [*found, *choices(tuning, bare(stages), f"{shop.name} bare")]

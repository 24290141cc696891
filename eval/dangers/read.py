"""Read stories as far as their dangers, with vectors kept from run to run."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from eval.dangers.stories import Story
from eval.fit_ranker import UNFITTED
from eval.shops import KNOWLEDGE
from triage.engine import VectorCache, cache_folder, open_engine
from triage.model import Question
from triage.pipeline import Stages, Understood, understand


def stages_and_vectors() -> tuple[Stages, VectorCache]:
    """The demo shop's stages, with an encoder that remembers."""
    stages = open_engine(KNOWLEDGE, ranker=UNFITTED)
    vectors = VectorCache(stages.encoder, cache_folder() / "stories")
    return replace(stages, encoder=vectors), vectors


def understood(told: Iterable[Story], stages: Stages) -> Iterator[Understood]:
    """What is read of each story, in order."""
    for story in told:
        yield understand(Question(story.id, story.text), stages)

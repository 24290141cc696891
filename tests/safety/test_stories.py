"""The stories kept for testing stay unknown to what is learnt."""

from __future__ import annotations

from eval.dangers.stories import known_to, stories
from triage.pipeline import Stages
from triage.safety.keep import lessons_of

SHORT = 6  # words; shorter ones ("Thanks in advance.") are anybody's


def test_no_sentence_of_a_test_story_is_learnt(stages: Stages) -> None:
    told = stories("test")
    assert [
        lesson.text for lesson in lessons_of(stages.pack) if _long(lesson.text) and known_to(told, lesson.text)
    ] == []


def test_every_label_is_a_hazard_of_the_pack_and_every_quoted_story_is_dangerous(stages: Stages) -> None:
    told = (*stories("learn"), *stories("test"))
    assert {hazard for story in told for hazard in story.hazards} <= set(stages.pack.hazards)
    assert {story.id[0] for story in told if story.hazards} == {"d"}
    assert not any(story.urgent for story in told if not story.hazards)


def _long(text: str) -> bool:
    return len(text.split()) >= SHORT

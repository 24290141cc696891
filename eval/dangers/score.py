"""How many dangers of a set of stories are noted, how many notes are right, and how often calm is called urgent."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from eval.counts import Counts
from eval.dangers.stories import Story
from triage.model import HazardNote


@dataclass(frozen=True, slots=True)
class Scored:
    """What was noted in a set of stories."""

    noted: Counts
    by_hazard: Mapping[str, Counts]
    dangerous: int
    pressed: int  # dangerous stories called urgent
    calm: int
    calm_noted: int
    calm_pressed: int
    now: int  # stories labelled as happening now
    now_pressed: int

    def row(self, name: str) -> str:
        """One line of the table."""
        recall, precision = self.noted.recall or 0.0, self.noted.precision or 0.0
        return (
            f"| {name} | {recall:.3f} | {precision:.3f} | {self.pressed}/{self.dangerous} "
            f"| {self.now_pressed}/{self.now} | {self.calm_noted}/{self.calm} | {self.calm_pressed}/{self.calm} |"
        )


HEAD = """| set | noted: recall | precision | danger urgent | happening now urgent | calm noted | calm urgent |
|---|---|---|---|---|---|---|"""


def score(told: Sequence[Story], notes: Sequence[Sequence[HazardNote]]) -> Scored:
    """Score the notes of each story against its labels."""
    pairs = [(story, {note.hazard for note in noted}) for story, noted in zip(told, notes, strict=True)]
    pressed = [any(note.urgent for note in noted) for noted in notes]
    names = sorted({hazard for story, noted in pairs for hazard in (*story.hazards, *noted)})
    by_hazard = {name: _counts(name, pairs) for name in names}
    calm = [not story.hazards for story in told]
    now = [bool(story.urgent) for story in told]
    return Scored(
        sum(by_hazard.values(), Counts()),
        by_hazard,
        calm.count(False),
        _both(pressed, [not item for item in calm]),
        calm.count(True),
        _both([bool(noted) for _, noted in pairs], calm),
        _both(pressed, calm),
        now.count(True),
        _both(pressed, now),
    )


def _both(one: Sequence[bool], other: Sequence[bool]) -> int:
    return sum(a and b for a, b in zip(one, other, strict=True))


def _counts(name: str, pairs: Sequence[tuple[Story, set[str]]]) -> Counts:
    held = [(name in story.hazards, name in noted) for story, noted in pairs]
    return Counts(held.count((True, True)), held.count((False, True)), held.count((True, False)))

"""The stories with their labels; six in ten may be learnt from, four in ten are only ever scored."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from eval.labels import load_labels
from eval.shops import shops
from eval.split import TUNING_TENTHS, part_of, tenth

FILE = Path(__file__).parent / "messages.jsonl"
Part = Literal["learn", "test"]


@dataclass(frozen=True, slots=True)
class Story:
    """One message with the hazards it tells, and whether one of them is there now (None where nobody labelled it)."""

    id: str
    text: str
    hazards: frozenset[str]
    urgent: bool | None = None

    @property
    def part(self) -> Part:
        """To learn from, or to test on: by the id alone."""
        return "learn" if tenth(self.id) < TUNING_TENTHS else "test"


def stories(part: Part, file: Path = FILE) -> tuple[Story, ...]:
    """The stories of one part, in the order of the file."""
    found = [_story(json.loads(line)) for line in file.read_text(encoding="utf-8").splitlines() if line.strip()]
    return tuple(story for story in found if story.part == part)


def questions() -> tuple[Story, ...]:
    """The shops' labelled questions that may be tuned on."""
    return tuple(
        Story(f"{shop.name} {label.id}", label.text, frozenset(label.hazards))
        for shop in shops("all")
        for label in (load_labels(shop.questions) if shop.name != "third" else ())
        if part_of(label.id, shop.name) == "tuning"
    )


def known_to(told: Sequence[Story], text: str) -> bool:
    """True when a sentence stands in one of these stories."""
    return any(text in " ".join(story.text.split()) for story in told)


def _story(line: dict[str, object]) -> Story:
    hazards = line["hazards"]
    assert isinstance(hazards, list), FILE
    named = frozenset(str(item["hazard"]) for item in hazards)
    return Story(str(line["id"]), str(line["text"]), named, bool(line["urgent"]))

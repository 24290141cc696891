"""Answers and questions as JSON files: what a way in a process of its own reads, and nothing that is slow to import."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Entry:
    """An answer as a plain way sees it."""

    id: str
    asked: str  # title and question
    text: str  # everything, variants too


def write(file: Path, value: object) -> None:
    """As JSON."""
    file.write_text(json.dumps(value), encoding="utf-8")


def read_entries(folder: Path) -> list[Entry]:
    """The answers of a material's folder."""
    return [Entry(**item) for item in json.loads((folder / "answers.json").read_text(encoding="utf-8"))]


def read_questions(folder: Path) -> Sequence[str]:
    """The questions of a material's folder."""
    found: list[str] = json.loads((folder / "questions.json").read_text(encoding="utf-8"))
    return found

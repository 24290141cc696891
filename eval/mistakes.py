"""Every mistake with its question, one JSON object a line; those of locked questions stay out unless asked for."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from pathlib import Path

from eval import (
    metrics_conflicts,
    metrics_facts,
    metrics_gaps,
    metrics_hazards,
    metrics_matching,
    metrics_symptoms,
    metrics_told,
)
from eval.cases import Case, Mistake

_SOURCES = (
    metrics_facts.mistakes,
    metrics_symptoms.mistakes,
    metrics_told.mistakes,
    metrics_matching.mistakes,
    metrics_hazards.mistakes,
    metrics_gaps.mistakes,
    metrics_conflicts.mistakes,
)


def mistakes_of(case: Case) -> Iterator[Mistake]:
    """All mistakes of one question, metric by metric."""
    for source in _SOURCES:
        yield from source(case)


def visible(cases: Iterable[Case], *, show_locked: bool = False) -> list[Case]:
    """The questions whose mistakes may be looked at: nobody should tune on the locked ones by accident."""
    return [case for case in cases if show_locked or case.part == "tuning"]


def write_mistakes(cases: Iterable[Case], file: Path) -> int:
    """Write the mistakes of the questions given; returns how many."""
    lines = [_line(case, mistake) for case in cases for mistake in mistakes_of(case)]
    file.write_text("".join(line + "\n" for line in lines), encoding="utf-8")
    return len(lines)


def _line(case: Case, mistake: Mistake) -> str:
    gold = case.gold
    record = {
        "shop": case.shop, "id": gold.id, "part": case.part, "voice": gold.voice, "kind": mistake.kind,
        "expected": mistake.expected, "got": mistake.got, "text": gold.text,
    }  # fmt: skip
    return json.dumps(record | ({"subject": gold.subject} if gold.subject else {}), ensure_ascii=False)

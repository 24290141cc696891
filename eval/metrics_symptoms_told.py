"""How often a symptom told in a sentence or two is read, by sentences whose writer knew only the symptoms' names."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from eval.counts import Counts
from eval.pairing import pair_names
from triage.model import Question
from triage.pipeline import Stages, understand

TOLD = Path(__file__).parent / "symptoms" / "told.jsonl"


@dataclass(frozen=True, slots=True)
class ToldSentence:
    """A sentence with the symptoms it was written for; none when it tells none."""

    id: str
    text: str
    symptoms: tuple[str, ...]


def load_told(file: Path = TOLD) -> tuple[ToldSentence, ...]:
    """The labelled sentences, in the file's order. None of them stands in the pack."""
    records = (json.loads(line) for line in file.read_text(encoding="utf-8").splitlines())
    return tuple(ToldSentence(record["id"], record["text"], tuple(record["symptoms"])) for record in records)


def read_held(text: str, stages: Stages) -> frozenset[str]:
    """The symptoms read in a sentence that hold of the asker's vehicle."""
    facts = understand(Question("told", text), stages).facts
    return frozenset(str(fact.value) for fact in facts if fact.name == "symptom" and fact.standing.holds)


def total(told: Iterable[ToldSentence], stages: Stages) -> Counts:
    """Counts over all sentences."""
    pairs = (pair_names(sentence.symptoms, sorted(read_held(sentence.text, stages))) for sentence in told)
    return sum((paired.counts for paired in pairs), Counts())

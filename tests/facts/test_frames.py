"""The same fact in many forms, and the same standing in many words (frames.yaml)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from triage.facts import FactReader
from triage.model import Fact
from triage.pack import load

FRAMES: dict[str, dict[str, Any]] = yaml.safe_load((Path(__file__).parent / "frames.yaml").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def reader() -> FactReader:
    return FactReader(load(Path("knowledge")))


def _read(reader: FactReader, text: str) -> tuple[Fact, ...]:
    return reader.read(reader.language.annotate(text))


def _is_told(reader: FactReader, text: str, facts: str) -> bool:
    told = {f"{fact.name} {fact.value}" for fact in _read(reader, text) if fact.standing.value != "inferred"}
    return set(facts.split(", ")) <= told


def _stands(reader: FactReader, text: str, fact: str, standing: str) -> bool:
    return (fact, standing) in {(f"{f.name} {f.value}", f.standing.value) for f in _read(reader, text)}


@pytest.mark.parametrize("facts", FRAMES["values"])
def test_a_fact_is_read_in_every_form(reader: FactReader, facts: str) -> None:
    group = FRAMES["values"][facts]
    assert [text for text in group["texts"] if not _is_told(reader, text, facts)] == []
    assert [text for text in group.get("weak", ()) if _is_told(reader, text, facts)] == []


@pytest.mark.parametrize("name", FRAMES["standings"])
def test_a_standing_is_read_in_all_its_words(reader: FactReader, name: str) -> None:
    group = FRAMES["standings"][name]

    def right(words: str) -> bool:
        return _stands(reader, group["frame"].format(words), group["fact"], group["standing"])

    assert [words for words in group["words"] if not right(words)] == []
    assert [words for words in group.get("weak", ()) if right(words)] == []

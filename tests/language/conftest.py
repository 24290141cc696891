"""The demo pack's language and fact reader, compiled once."""

from __future__ import annotations

from pathlib import Path

import pytest

from triage.facts import FactReader
from triage.language import Language
from triage.pack import load


@pytest.fixture(scope="session")
def reader() -> FactReader:
    return FactReader(load(Path("knowledge")))


@pytest.fixture(scope="session")
def language(reader: FactReader) -> Language:
    return reader.language

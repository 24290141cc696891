"""The stages over the demo pack that the growth room's tests share."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from toys import Words

from triage.editor_material import reader_of
from triage.engine import assemble
from triage.growth.statements import Reader
from triage.pack import load
from triage.pipeline import Stages

KNOWLEDGE = Path(__file__).parents[2] / "knowledge"


@pytest.fixture(scope="session")
def stages(pytestconfig: pytest.Config) -> Stages:
    """Quick: words are compared as words, no model is run; what is learnt of the pack is kept for the next session."""
    assert pytestconfig.cache is not None
    return assemble(load(KNOWLEDGE), Words(), pytestconfig.cache.mkdir("triage-toy"))


@pytest.fixture(scope="session")
def reader(stages: Stages) -> Reader:
    """Reads the sentences of answers for what they state."""
    return reader_of(stages)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A pack folder of this test's own, with the demo shop in it."""
    shutil.copytree(KNOWLEDGE / "shop", tmp_path / "pack" / "shop")
    return tmp_path / "pack"

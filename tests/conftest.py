"""What many folders of tests share: stages over the demo shop that compare words as words and run no model."""

from __future__ import annotations

from pathlib import Path

import pytest
from toys import Words

from triage.engine import assemble
from triage.pack import load
from triage.pipeline import Stages

KNOWLEDGE = Path(__file__).parents[1] / "knowledge"


@pytest.fixture(scope="session")
def toy_cache(pytestconfig: pytest.Config) -> Path:
    """Where what the toy encoder learnt of the demo shop is kept from one session to the next."""
    assert pytestconfig.cache is not None
    return pytestconfig.cache.mkdir("triage-toy")


@pytest.fixture(scope="session")
def toy_stages(toy_cache: Path) -> Stages:
    """The demo shop, read in milliseconds."""
    return assemble(load(KNOWLEDGE), Words(), toy_cache)

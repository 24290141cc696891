"""The demo shop's stages, read once for all safety tests."""

from __future__ import annotations

from pathlib import Path

import pytest

from triage.engine import cache_folder, open_engine
from triage.pipeline import Stages

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def stages() -> Stages:
    return open_engine(ROOT / "knowledge", cache=cache_folder())

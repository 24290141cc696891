"""A fresh store in a file of its own for each test."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from triage.store import Store

from .mails import Clock


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "queue.db"


@pytest.fixture
def store(path: Path) -> Iterator[Store]:
    with Store.open(path, now=Clock()) as opened:
        yield opened

"""The demo shop and the second shop, opened once, and the way a text goes through them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from triage.conflicts import find_conflicts, findings
from triage.facts import FactReader
from triage.model import Conflict, Finding
from triage.pack import Pack, load
from triage.pack.importing import import_tables

ROOT = Path(__file__).parents[2]
Read = Callable[[str], tuple[Conflict, ...]]


def reading(pack: Pack) -> Read:
    """Text to conflicts, as the program does it."""
    reader = FactReader(pack)

    def read(text: str) -> tuple[Conflict, ...]:
        document = reader.language.annotate(text)
        return find_conflicts(reader.read(document), pack, document)

    return read


@pytest.fixture(scope="session")
def demo() -> Pack:
    """The shipped demo shop."""
    return load(ROOT / "knowledge")


@pytest.fixture(scope="session")
def conflicts_in(demo: Pack) -> Read:
    """Conflicts of a text, for the demo shop."""
    return reading(demo)


@pytest.fixture(scope="session")
def findings_in(demo: Pack) -> Callable[[str], tuple[Finding, ...]]:
    """Findings of a text, for the demo shop."""
    reader = FactReader(demo)
    return lambda text: findings(reader.read(reader.language.annotate(text)), demo)


@pytest.fixture(scope="session")
def second(tmp_path_factory: pytest.TempPathFactory) -> Pack:
    """Another shop, made from its two spreadsheets."""
    target = tmp_path_factory.mktemp("second") / "pack"
    tables = ROOT / "eval" / "second_shop"
    import_tables(tables / "vehicles.csv", tables / "answers.csv", target)
    return load(target)


@pytest.fixture(scope="session")
def second_conflicts_in(second: Pack) -> Read:
    """Conflicts of a text, for the second shop."""
    return reading(second)

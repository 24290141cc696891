"""The fact reader against questions.yaml: one test for each question."""

from __future__ import annotations

from pathlib import Path

import pytest
from factcases import Row, differences, read, rows

from triage.facts import FactReader
from triage.pack import load

ROWS = rows()


@pytest.fixture(scope="module")
def reader() -> FactReader:
    return FactReader(load(Path("knowledge")))


def _marked(row: Row) -> object:
    marks = [pytest.mark.xfail(reason=row.weak, strict=True)] if row.weak else []
    return pytest.param(row, id=f"{row.group}: {row.text[:60]}", marks=marks)


@pytest.mark.parametrize("row", [_marked(row) for row in ROWS])
def test_question_is_read_as_written(row: Row, reader: FactReader) -> None:
    assert differences(row, read(reader, row)) == []


def test_the_table_is_large_and_mostly_read_right() -> None:
    weak = [row for row in ROWS if row.weak]
    assert len(ROWS) >= 250
    assert len(weak) <= len(ROWS) // 30

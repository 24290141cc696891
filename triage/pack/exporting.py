"""A shop's vehicles and answers back to two spreadsheets, losing nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from triage.pack.atomic import write_files
from triage.pack.columns import ANSWER_COLUMNS, VEHICLE_COLUMNS, Column
from triage.pack.load import Pack
from triage.pack.problem import PackError, Problem
from triage.pack.sheets import csv_bytes, xlsx_bytes


def export_tables(pack: Pack, vehicles: Path, answers: Path) -> None:
    """Write both tables, .csv or .xlsx by their names; importing them gives the same records again.

    Raises PackError for another kind of file, or a text too long for a cell; then neither file is touched.
    """
    write_files(
        {
            vehicles: _table(vehicles, VEHICLE_COLUMNS, pack.vehicles),
            answers: _table(answers, ANSWER_COLUMNS, pack.answers),
        }
    )


def _table(file: Path, columns: Sequence[Column], records: Iterable[Any]) -> bytes:
    header = [column.header for column in columns]
    rows = [[_cell(column, record) for column in columns] for record in records]
    match file.suffix.lower():
        case ".csv":
            return csv_bytes(header, rows)
        case ".xlsx":
            return xlsx_bytes(header, rows, file.stem)
    fix = "Give the file a name that ends in .csv or .xlsx."
    raise PackError([Problem(str(file), 0, 0, "", f"tables are not written as '{file.suffix}'", fix)])


def _cell(column: Column, record: Any) -> str:
    value = record
    for step in column.field.split("."):
        value = getattr(value, step)
    return column.write(value)

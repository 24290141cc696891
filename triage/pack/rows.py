"""Rows of a spreadsheet as plain values with their places, ready to become records."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from triage.pack import cells
from triage.pack.cells import BadCell
from triage.pack.columns import Column, find_column
from triage.pack.problem import Problem, Severity, nearest
from triage.pack.sheets import Sheet


@dataclass(frozen=True)
class RowPlace:
    """Where a record of a spreadsheet comes from; stands in for the file a record is kept in."""

    file: str
    row: int
    columns: dict[str, tuple[int, str]]  # field -> number and header of its column
    body: str = ""  # the cell that is the record's long text

    def problem(self, path: Sequence[str | int], message: str, fix: str = "", **more: object) -> Problem:
        """A problem of the cell that holds the value at `path`."""
        steps = [str(step) for step in path]
        fields = [".".join(steps[:end]) for end in range(len(steps), 0, -1)]
        number, header = next((self.columns[one] for one in fields if one in self.columns), (0, ".".join(steps)))
        severity: Severity = "warning" if more.get("severity") == "warning" else "error"
        return Problem(self.file, self.row, number, header, message, fix, severity)


@dataclass
class RowValues:
    """The values of one row by field, and what could not be read."""

    place: RowPlace
    values: dict[str, Any]
    problems: list[Problem] = field(default_factory=list)

    def warn(self, path: Sequence[str | int], message: str, fix: str) -> None:
        """Note something to look at."""
        self.problems.append(self.place.problem(path, message, fix, severity="warning"))

    def fail(self, path: Sequence[str | int], message: str, fix: str) -> None:
        """Note something to correct."""
        self.problems.append(self.place.problem(path, message, fix))


@dataclass(frozen=True)
class Header:
    """Which column stands where."""

    columns: tuple[Column, ...]  # all there can be
    found: dict[int, Column]  # place in the row, from 0
    problems: list[Problem]


def read_header(sheet: Sheet, columns: tuple[Column, ...]) -> Header:
    """The known columns; unknown ones are told, doubled and missing ones are errors."""
    found: dict[int, Column] = {}
    problems: list[Problem] = []
    for index, name in enumerate(sheet.header):
        column = find_column(name, columns)
        if column is None:
            problems.extend(_unknown_column(sheet, index, columns))
        elif column in found.values():
            message = f"the column {column.header} is there twice"
            problems.append(_at_header(sheet, index, message, "Take one of them out."))
        else:
            found[index] = column
    return Header(columns, found, [*problems, *_missing_columns(sheet, found, columns)])


def _unknown_column(sheet: Sheet, index: int, columns: tuple[Column, ...]) -> Iterator[Problem]:
    filled = sum(1 for _, row in sheet.rows if index < len(row) and row[index].strip())
    name = sheet.header[index]
    if filled or name:
        near = nearest(name, [column.header for column in columns]) if name else []
        fix = f"If you meant {' or '.join(near)}, rename it." if near else "Put what matters into another column."
        message = f"the column '{name}' is not known; its {filled} filled cells are left out"
        yield _at_header(sheet, index, message, fix, "warning")


def _missing_columns(sheet: Sheet, found: dict[int, Column], columns: tuple[Column, ...]) -> Iterator[Problem]:
    for column in columns:
        if column.required and column not in found.values():
            fix = f"Add a column named {column.header}."
            yield Problem(str(sheet.file), sheet.header_row, 0, column.header, "this column is missing", fix)


def _at_header(sheet: Sheet, index: int, message: str, fix: str, severity: Severity = "error") -> Problem:
    return Problem(str(sheet.file), sheet.header_row, index + 1, sheet.header[index], message, fix, severity)


def read_rows(sheet: Sheet, header: Header, body: str) -> list[RowValues]:
    """Every row's values; a cell that cannot be read is told and left out."""
    return [_read_row(sheet, header, number, row, body) for number, row in sheet.rows]


def _read_row(sheet: Sheet, header: Header, number: int, row: list[str], body: str) -> RowValues:
    given = _given(header, row)
    where = {column.field: (index + 1, sheet.header[index]) for index, column in header.found.items()}
    result = RowValues(RowPlace(str(sheet.file), number, where, given.get(body, "")), {})
    if len(row) > len(sheet.header):
        extra = row[len(sheet.header)]
        fix = "Put quotes around a cell that holds the separator."
        result.fail([], f"the row has more cells than there are columns: {extra[:40]!r}", fix)
    _split_years(given)
    for column in (column for column in header.columns if column.field in given):
        _read_cell(column, given[column.field], result)
    return result


def _given(header: Header, row: list[str]) -> dict[str, str]:
    padded = {index: row[index] if index < len(row) else "" for index in header.found}
    return {header.found[index].field: _tidy(cell) for index, cell in padded.items()}


def _tidy(cell: str) -> str:
    return cell.replace("\r\n", "\n").replace("\r", "\n").strip()


def _split_years(given: dict[str, str]) -> None:
    """A span of years in the first column fills both: "2009-2014"."""
    for first in [name for name in given if name.endswith("year_from")]:
        ends = cells.year_range(given[first])
        last = first.replace("year_from", "year_to")
        if ends and not given.get(last):
            given[first], given[last] = ends


def _read_cell(column: Column, cell: str, result: RowValues) -> None:
    if column.required and not cell:
        result.fail([column.field], "this cell is empty", f"Write the {column.header}.")
    try:
        value = column.read(cell)
    except BadCell as error:
        result.fail([column.field], error.message, error.fix)
    else:
        _put(result.values, column.field, value)


def _put(values: dict[str, Any], name: str, value: Any) -> None:
    """Set a value by its field; "" counts as not given, and a dot leads one level down."""
    outer, _, inner = name.partition(".")
    if value == "":
        return
    if inner:
        values.setdefault(outer, {})[inner] = value
    else:
        values[outer] = value

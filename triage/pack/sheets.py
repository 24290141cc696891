"""Spreadsheets as rows of text: CSV of any dialect and encoding, and .xlsx."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import islice
from pathlib import Path
from typing import Any

import openpyxl
from charset_normalizer import from_bytes
from openpyxl.utils.exceptions import InvalidFileException

from triage.pack.columns import Column, find_column
from triage.pack.problem import PackError, Problem

Row = tuple[int, list[str]]  # the row's number as a spreadsheet shows it, and its cells
_DELIMITERS = ",;\t|"
_HEADER_WITHIN = 5  # rows in which the header is looked for; some tables begin with a title
_BOMS = {b"\xef\xbb\xbf": "utf-8-sig", b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}
_ENCODINGS = ["cp1252", "cp1250", "mac_roman", "utf_16_le", "utf_16_be"]
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"
_XLSX_CELL = 32767  # characters; the file format's limit


@dataclass(frozen=True)
class Sheet:
    """A table: its header and the rows under it that are not empty."""

    file: Path
    header_row: int
    header: list[str]
    rows: list[Row]
    guessed: str = ""  # the encoding, where the file did not tell it


def read_sheet(file: Path, columns: tuple[Column, ...]) -> Sheet:
    """Read a .csv or .xlsx file; raises PackError when it is neither or has no header."""
    try:
        raw = file.read_bytes()
    except OSError as error:
        raise _bad(file, f"cannot be read: {error.strerror}", "Check the path.") from error
    if raw.startswith(b"PK"):  # .xlsx is a zip archive
        tables, guessed = _workbook(file, raw), ""
    else:
        content, guessed = _decode(file, raw)
        tables = [_csv_rows_of(file, content, columns)]
    best = max(tables, key=lambda rows: _known(rows, columns)[0], default=[])
    count, start = _known(best, columns)
    if not count:
        wanted = ", ".join(column.header for column in columns if column.required)
        raise _bad(file, "no row with column names was found", f"Its first row must name at least: {wanted}.")
    number, header = best[start]
    return Sheet(file, number, [cell.strip() for cell in header], best[start + 1 :], guessed)


def _known(rows: Sequence[Row], columns: tuple[Column, ...]) -> tuple[int, int]:
    """How many known column names the likeliest header row has, and which row it is."""
    counts = [
        (sum(find_column(cell, columns) is not None for cell in cells), -index)
        for index, (_, cells) in enumerate(rows[:_HEADER_WITHIN])
    ]
    count, index = max(counts, default=(0, 0))
    return count, -index


def _bad(file: Path, message: str, fix: str, row: int = 0) -> PackError:
    return PackError([Problem(str(file), row, 0, "", message, fix)])


def _csv_rows_of(file: Path, content: str, columns: tuple[Column, ...]) -> list[Row]:
    """The rows under the delimiter with which the first rows hold the most column names."""
    return _csv_rows(file, content, max(_DELIMITERS, key=lambda one: _known(_first(content, one), columns)[0]))


def _first(content: str, delimiter: str) -> list[Row]:
    reader = csv.reader(io.StringIO(content, newline=""), delimiter=delimiter)
    try:
        return list(enumerate(islice(reader, _HEADER_WITHIN), start=1))
    except csv.Error:
        return []


def _csv_rows(file: Path, content: str, delimiter: str) -> list[Row]:
    reader = csv.reader(io.StringIO(content, newline=""), delimiter=delimiter, strict=True)
    rows: list[Row] = []
    try:
        for number, cells in enumerate(reader, start=1):
            _keep(rows, number, [_unguarded(cell) for cell in cells])
    except csv.Error as error:
        fix = 'Look for a quote (") that is not closed; within a quoted cell write it twice ("").'
        row = rows[-1][0] + 1 if rows else 1
        raise _bad(file, f"row {row} cannot be read: {error}", fix, row) from error
    return rows


def _decode(file: Path, raw: bytes) -> tuple[str, str]:
    """The text, and the name of its encoding where that is a guess."""
    if raw.startswith(_OLD_WORKBOOK):
        raise _bad(file, "this is an old .xls workbook", "Save it as .xlsx or as CSV.")
    for mark, encoding in _BOMS.items():
        if raw.startswith(mark):
            return raw.decode(encoding, errors="replace"), ""
    try:
        return raw.decode("utf-8"), ""
    except UnicodeDecodeError:
        best = from_bytes(raw, cp_isolation=_ENCODINGS).best()
        return (str(best), best.encoding) if best else (raw.decode("cp1252", errors="replace"), "cp1252")


def _workbook(file: Path, raw: bytes) -> list[list[Row]]:
    try:
        values = openpyxl.load_workbook(io.BytesIO(raw), read_only=True, data_only=True)
        formulas = openpyxl.load_workbook(io.BytesIO(raw), read_only=True)
    except (zipfile.BadZipFile, InvalidFileException, KeyError, ValueError, OSError) as error:
        fix = "Save it again as .xlsx or as CSV."
        raise _bad(file, f"this is no .xlsx workbook that can be read ({error})", fix) from error
    return [_sheet_rows(file, values[name], formulas[name]) for name in values.sheetnames]


def _sheet_rows(file: Path, values: Any, formulas: Any) -> list[Row]:
    rows: list[Row] = []
    pairs = zip(values.iter_rows(values_only=True), formulas.iter_rows(values_only=True), strict=False)
    for number, (shown, written) in enumerate(pairs, start=1):
        for value, formula in zip(shown, written, strict=False):
            _refuse_unreadable(file, number, value, formula)
        _keep(rows, number, [_cell_text(value) for value in shown])
    return rows


def _keep(rows: list[Row], number: int, cells: list[str]) -> None:
    """Empty cells at the end of a row, and empty rows, say nothing."""
    while cells and not cells[-1].strip():
        cells.pop()
    if cells:
        rows.append((number, cells))


def _refuse_unreadable(file: Path, row: int, value: Any, formula: Any) -> None:
    if isinstance(value, str) and re.fullmatch(r"#(REF|N/A|VALUE|NAME\?|DIV/0|NUM|NULL)!?", value):
        raise _bad(file, f"a cell in row {row} shows the error {value}", "Correct the formula.", row)
    if value is None and isinstance(formula, str) and formula.startswith("="):
        fix = "Open the workbook in a spreadsheet program and save it, or write the value itself."
        raise _bad(file, f"a formula in row {row} has no stored value", fix, row)


def _cell_text(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    if isinstance(value, datetime | date):
        return value.isoformat()[:10]
    if isinstance(value, str):
        return re.sub(r"_x([0-9A-Fa-f]{4})_", lambda code: chr(int(code[1], 16)), value)
    return "" if value is None else str(value)


# A cell that begins like a formula is run by spreadsheet programs; a ' in front of it keeps it text.
_FORMULA = re.compile(r"'*[=+\-@\t\r]")


def _guarded(cell: str) -> str:
    return f"'{cell}" if _FORMULA.match(cell) else cell


def _unguarded(cell: str) -> str:
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell


def csv_bytes(header: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """CSV that spreadsheet programs open as it is: commas, UTF-8 with its mark, cells kept from being run."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(header)
    writer.writerows([_guarded(cell) for cell in row] for row in rows)
    return out.getvalue().encode("utf-8-sig")


def xlsx_bytes(header: Sequence[str], rows: Iterable[Sequence[str]], title: str) -> bytes:
    """A workbook of one sheet, every cell text. Raises PackError for a cell longer than the format allows."""
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.title = title
    for number, row in enumerate([header, *rows], start=1):
        for place, cell in enumerate(row, start=1):
            if cell:
                _put(sheet.cell(number, place), _escaped(cell), title)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _put(cell: Any, content: str, title: str) -> None:
    if len(content) > _XLSX_CELL:
        message = f"a cell has {len(content)} characters, and .xlsx holds {_XLSX_CELL}"
        raise PackError([Problem(title, cell.row, cell.column, "", message, "Export to .csv.")])
    cell.value = content
    cell.data_type = "s"  # text even where it begins with =


def _escaped(cell: str) -> str:
    # ECMA-376 part 1, 22.4.2.4: _xHHHH_ stands for a character XML cannot hold, _x005F_ for such a _ itself.
    kept = re.sub(r"_(?=x[0-9A-Fa-f]{4}_)", "_x005F_", cell)
    return re.sub(r"[\x00-\x08\x0b-\x1f\ufffe\uffff]", lambda code: f"_x{ord(code[0]):04X}_", kept)

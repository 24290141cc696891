"""Rows of CSV and JSONL exports, each with its place, whatever shape the export has."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO

from triage.intake.decode import decode
from triage.intake.errors import IntakeError

_SAMPLE = 65_536  # bytes looked at to tell charset and delimiter
_LARGEST_FIELD = 16 * 1024 * 1024


@dataclass(frozen=True, slots=True)
class Row:
    """One row: where it stands, its cells by column, its text as it came, and what is wrong with it."""

    place: str
    cells: dict[str, str]
    raw: str
    wrong: str = ""


def csv_rows(path: Path) -> Iterator[Row]:
    """Rows of a CSV export: comma, semicolon or tab; UTF-8 or what the bytes look like."""
    csv.field_size_limit(_LARGEST_FIELD)
    with path.open(encoding=_encoding(path), errors="replace", newline="") as file:
        delimiter = _delimiter(file)
        reader = csv.reader(file, delimiter=delimiter)
        header = _header(path, reader)
        for number, cells in _numbered(reader):
            yield _csv_row(f"row {number}", header, cells, delimiter)


def _encoding(path: Path) -> str:
    with path.open("rb") as file:
        sample = file.read(_SAMPLE)
    note = next(iter(decode(sample[: sample.rfind(b"\n") + 1] or sample, "utf-8-sig").notes), "")
    return note.rpartition("read as ")[2] or "utf-8-sig"


def _delimiter(file: TextIO) -> str:
    line = file.readline()
    file.seek(0)
    return max(",;\t", key=line.count)


def _header(path: Path, reader: Iterator[list[str]]) -> list[str]:
    header = [name.strip() for name in next(reader, [])]
    if not any(header):
        raise IntakeError(f"{path}: the table is empty; its first line must name the columns")
    twice = [name for name in header if name and header.count(name) > 1]
    if twice:
        raise IntakeError(f"{path}, row 1: column '{twice[0]}' stands there twice; give each its own name")
    return header


def _numbered(reader: Iterator[list[str]]) -> Iterator[tuple[int, list[str] | str]]:
    """Rows numbered as a spreadsheet shows them; a row that cannot be read comes as its error."""
    number = 1
    while True:
        number += 1
        try:
            cells = next(reader, None)
        except csv.Error as error:
            yield number, str(error)
            continue
        if cells is None:
            return
        if cells:
            yield number, cells


def _csv_row(place: str, header: list[str], cells: list[str] | str, delimiter: str) -> Row:
    if isinstance(cells, str):
        return Row(place, {}, "", f"cannot be read: {cells}")
    raw = delimiter.join(cells)
    if len(cells) > len(header) and any(cell.strip() for cell in cells[len(header) :]):
        wrong = f"has {len(cells)} cells where the header has {len(header)}; quote cells that hold '{delimiter}'"
        return Row(place, {}, raw, wrong)
    filled = cells + [""] * (len(header) - len(cells))
    return Row(place, dict(zip(header, filled, strict=False)), raw)


def jsonl_rows(path: Path) -> Iterator[Row]:
    """Rows of a JSONL export, one object a line; nested keys become "outer.inner"."""
    with path.open(encoding="utf-8-sig", errors="replace") as file:
        for number, line in enumerate(file, 1):
            if line.strip():
                yield _json_row(path, number, line)


def _json_row(path: Path, number: int, line: str) -> Row:
    place = f"line {number}"
    if number == 1 and line.lstrip().startswith("["):
        raise IntakeError(f"{path}: is one JSON list; write one object a line instead (JSONL)")
    try:
        data = json.loads(line)
    except (ValueError, RecursionError) as error:
        return Row(place, {}, line, f"is not JSON: {error}")
    if not isinstance(data, dict):
        return Row(place, {}, line, 'is not a JSON object; write {"column": "value", ...}')
    return Row(place, dict(_flat(data.items())), line)


def _flat(items: Iterable[tuple[str, object]], above: str = "") -> Iterator[tuple[str, str]]:
    for key, value in items:
        if isinstance(value, dict):
            yield from _flat(value.items(), f"{above}{key}.")
        else:
            yield above + str(key), _cell(value)


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, list):
        return ", ".join(_cell(item) for item in value)
    return str(value).lower() if isinstance(value, bool) else str(value)

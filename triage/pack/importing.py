"""Two spreadsheets to a shop's pack: every mistake told at once, nothing half-written."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from triage.pack.advice import fits_no_vehicle, incomplete
from triage.pack.assemble import Assembly, assemble_trade
from triage.pack.atomic import new_folder
from triage.pack.columns import ANSWER_COLUMNS, VEHICLE_COLUMNS, Column
from triage.pack.identify import give_ids
from triage.pack.load import find_trade
from triage.pack.names import Names, own_fact, own_hazard
from triage.pack.problem import PackError, Problem
from triage.pack.records import (
    ANSWERS,
    CAUSES,
    CHECKS,
    FACTS,
    HAZARDS,
    SYMPTOMS,
    VEHICLES,
    Entry,
    Kind,
    build,
)
from triage.pack.render import to_markdown, to_yaml
from triage.pack.rows import RowValues, read_header, read_rows
from triage.pack.rules import errors_of
from triage.pack.scaffold import shop_file
from triage.pack.sheets import read_sheet
from triage.pack.slugs import file_names, unused


@dataclass(frozen=True)
class Imported:
    """What an import made, and what is worth a look."""

    root: Path
    vehicles: int
    answers: int
    warnings: tuple[Problem, ...] = ()


@dataclass
class _Job:
    """One import on its way: the trade part, what the shop adds to it, and all problems so far."""

    read: Assembly
    names: dict[str, Names]
    own: list[Entry] = field(default_factory=list)  # facts and hazards of the shop's own
    problems: list[Problem] = field(default_factory=list)


def import_tables(vehicles: Path | None, answers: Path | None, to: Path, *, trade: Path | None = None) -> Imported:
    """Make `to` a pack of the vehicles and answers in two .csv or .xlsx files; either may be left out.

    Raises PackError with every error of both files by row and column; then, as when anything else goes wrong,
    nothing is written. Names of hazards and facts that the trade part does not know become the shop's own.
    """
    job = _start(trade or find_trade())
    tables = ((VEHICLES, VEHICLE_COLUMNS, vehicles), (ANSWERS, ANSWER_COLUMNS, answers))
    for kind, columns, file in tables:
        if file is not None:
            _take_in(job, kind, columns, file)
    _cross_check(job, [str(file) for file in (vehicles, answers) if file is not None])
    errors = sorted({problem for problem in job.problems if problem.severity == "error"})
    if errors:
        raise PackError(errors)
    with new_folder(to) as work:
        _write(job, work)
    counts = [len(job.read.of(kind)) for kind in (VEHICLES, ANSWERS)]
    return Imported(to, counts[0], counts[1], tuple(sorted(set(job.problems))))


def _start(trade: Path) -> _Job:
    read = assemble_trade(trade)
    if read.problems:
        raise PackError(read.problems)
    names: dict[str, Names] = {}
    for kind in (FACTS, HAZARDS, SYMPTOMS, CAUSES, CHECKS):
        names[kind.name] = Names()
        for name, entry in read.of(kind).items():
            names[kind.name].add(name, entry.record.label, *getattr(entry.record, "aliases", []))
    return _Job(read, names)


def _take_in(job: _Job, kind: Kind, columns: tuple[Column, ...], file: Path) -> None:
    try:
        sheet = read_sheet(file, columns)
    except PackError as error:
        job.problems.extend(error.problems)
        return
    if sheet.guessed:
        message = f"this is not UTF-8 text; it was read as {sheet.guessed}"
        fix = "Look at a word with an accent or a degree sign, or save the table as UTF-8."
        job.problems.append(Problem(str(file), 0, 0, "", message, fix, "warning"))
    header = read_header(sheet, columns)
    job.problems.extend(header.problems)
    rows = read_rows(sheet, header, kind.body)
    for row in rows:
        _complete(job, kind, row)
    give_ids(kind, rows)
    for row in rows:
        _add(job, kind, row, [column.field for column in columns if column.required])
        job.problems.extend(row.problems)


def _complete(job: _Job, kind: Kind, row: RowValues) -> None:
    """Fill in what the row's other cells, or the trade part, say."""
    row.values.pop(kind.body, None)
    if kind is VEHICLES:
        _settle_powertrain(row)
        return
    for key in ("symptoms", "causes", "checks"):
        row.values[key] = _known_names(job.names[key], row.values.get(key, []))
    row.values["needs"] = _own_names(job, row, "needs", FACTS, own_fact)
    row.values["hazards"] = _own_names(job, row, "hazards", HAZARDS, own_hazard)


def _settle_powertrain(row: RowValues) -> None:
    if row.values.get("powertrain"):
        return
    told = _told(row, "powertrain")
    pack = ("pack_voltage", "batteries", "battery_chemistry")
    has_pack = any(row.values.get(key) or _told(row, key) for key in pack)
    if has_pack and not told:
        row.warn(["powertrain"], "taken as electric, because the vehicle has a battery pack", "Write it out.")
    elif not told:
        fix = "Write electric or petrol; a vehicle made as both needs a row for each."
        row.fail(["powertrain"], "it is not said what drives the vehicle", fix)
    row.values["powertrain"] = "electric"  # after an error only so that the rest of the row is checked too


def _told(row: RowValues, name: str) -> bool:
    """True when an error of this field was found already."""
    key = row.place.problem([name], "").key
    return any(one.key == key and one.severity == "error" for one in row.problems)


def _known_names(names: Names, given: list[str]) -> list[str]:
    found = (names.exact(name) or [name] for name in names.split(given))
    return _once(one for ids in found for one in ids)


def _own_names(job: _Job, row: RowValues, key: str, kind: Kind, make: Callable[[str], Any]) -> list[str]:
    """Ids for the names in a cell; one that nothing is near to becomes a record of the shop's own."""
    result: list[str] = []
    names = job.names[kind.name]
    for name in names.split(row.values.get(key, [])):
        ids = names.exact(name)
        if not ids and (ids := names.close(name) or (names.within(name) if kind is HAZARDS else [])):
            row.warn([key], f"'{name}' is taken as {', '.join(ids)}", "Correct it if that is not what was meant.")
        result.extend(ids or [_own(job, row, key, kind, make(name))])
    return _once(result)


def _own(job: _Job, row: RowValues, key: str, kind: Kind, record: Any) -> str:
    names = job.names[kind.name]
    near = names.near(record.label)
    record = replace(record, id=unused(record.id, names.ids()))
    names.add(record.id, record.label)
    job.own.append(Entry(kind, record, row.place))
    fix = f"Nearest known: {', '.join(near)}." if near else "No known name is near."
    row.warn([key], f"'{record.label}' is not known; it is kept as your own in trade/{kind.name}.yaml", fix)
    return str(record.id)


def _once(items: Iterator[str] | Sequence[str]) -> list[str]:
    return list(dict.fromkeys(items))


def _add(job: _Job, kind: Kind, row: RowValues, required: Sequence[str]) -> None:
    """Make the row's record; a required cell already told as empty is not told again."""
    for name in required:
        row.values.setdefault(name, "?")
    row.values.pop(kind.body, None)
    made = build(kind, row.values, row.place)
    if isinstance(made, Entry):
        # A second row of one id is an error already; kept apart, its other errors are found too.
        key = f"{made.record.id} in row {row.place.row}" if _told(row, "id") else made.record.id
        job.read.of(kind)[key] = made
    else:
        row.problems.extend(made)


def _cross_check(job: _Job, files: Sequence[str]) -> None:
    """The rules of a whole pack, as far as they speak of the tables."""
    for entry in job.own:
        job.read.of(entry.kind)[entry.record.id] = entry
    found = [*errors_of(job.read), *fits_no_vehicle(job.read), *incomplete(job.read)]
    job.problems.extend(problem for problem in found if problem.file in files)


def _write(job: _Job, work: Path) -> None:
    for kind in (VEHICLES, ANSWERS):
        folder = work / "shop" / kind.name
        folder.mkdir(parents=True)
        entries = job.read.of(kind)
        for name, stem in file_names(entries).items():
            _save(folder / f"{stem}.md", to_markdown(entries[name].record, kind.body))
    _save(work / "shop" / "shop.yaml", shop_file())
    for kind in (FACTS, HAZARDS):
        if records := [entry.record for entry in job.own if entry.kind is kind]:
            (work / "trade").mkdir(exist_ok=True)
            _save(work / "trade" / f"{kind.name}.yaml", to_yaml(records))


def _save(file: Path, text: str) -> None:
    file.write_text(text, encoding="utf-8", newline="\n")

"""triage pack: check, start, import and export a shop's knowledge."""

from __future__ import annotations

import sys
from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer

from triage.cli.common import JsonOption, PackOption, counted, open_pack, pack_folder, print_json
from triage.cli.errors import PROBLEM
from triage.pack import Problem, check, scaffold

app = typer.Typer(
    rich_markup_mode=None,
    help="The shop's knowledge: check, start, import and export it.",
    no_args_is_help=True,
)


@app.command("check")
def check_command(pack: PackOption = None, as_json: JsonOption = False) -> None:
    """Every problem of a pack: file, line, and what would be right."""
    problems = check(pack_folder(pack))
    errors = [problem for problem in problems if problem.severity == "error"]
    if as_json:
        print_json([vars_of(problem) for problem in problems])
    else:
        for problem in problems:
            print(problem)
        print(f"{counted(len(errors), 'error')}, {counted(len(problems) - len(errors), 'warning')}.")
    if errors:
        raise typer.Exit(PROBLEM)


def vars_of(problem: Problem) -> dict[str, object]:
    """A problem's fields by name."""
    return {key: str(value) if isinstance(value, Path) else value for key, value in asdict(problem).items()}


@app.command("new")
def new_command(
    folder: Annotated[Path, typer.Argument(help="A folder that is not there yet, or is empty.")],
) -> None:
    """Start a small complete pack of your own to change."""
    scaffold(folder)
    print(f"Started {folder}. Next: triage pack check --pack {folder}")


@app.command("import")
def import_command(
    vehicles: Annotated[Path, typer.Option(help="The spreadsheet of vehicles (.csv or .xlsx).")],
    answers: Annotated[Path, typer.Option(help="The spreadsheet of answers (.csv or .xlsx).")],
    to: Annotated[Path, typer.Option(help="The folder to make.")],
) -> None:
    """Make a pack from two spreadsheets. All errors are named at once; nothing is half-written."""
    from triage.pack.importing import import_tables

    made = import_tables(vehicles, answers, to)
    for warning in made.warnings:
        print(warning, file=sys.stderr)
    print(f"Made {to}: {counted(made.vehicles, 'vehicle')}, {counted(made.answers, 'answer')}.")
    print(f"Next: put the shop's name and mail into {to}/shop/shop.yaml, then: triage pack check --pack {to}")


@app.command("export")
def export_command(
    vehicles: Annotated[Path, typer.Option(help="Where the vehicles go (.csv or .xlsx).")],
    answers: Annotated[Path, typer.Option(help="Where the answers go (.csv or .xlsx).")],
    pack: PackOption = None,
) -> None:
    """Write the two spreadsheets back, losing nothing."""
    from triage.pack.exporting import export_tables

    export_tables(open_pack(pack), vehicles, answers)
    print(f"Written: {vehicles}, {answers}")

"""triage work: the sums behind a reply, each with its formula, source and caution."""

from __future__ import annotations

from typing import Annotated

import typer

from triage.cli.common import JsonOption, print_json
from triage.physics.limits import OutOfRange, UnreadableCode
from triage.physics.worksheet import (
    WORKSHEETS,
    Input,
    InputError,
    Outcome,
    WorkResult,
    Worksheet,
    find_worksheet,
    work,
)
from triage.unusable import Unusable


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("work")(work_command)


def work_command(
    name: Annotated[str, typer.Argument(help="Worksheet to run; without it, the list.")] = "",
    given: Annotated[
        list[str] | None, typer.Argument(help="Inputs, each NAME=VALUE with its unit: volts='38.2 V'.")
    ] = None,
    as_json: JsonOption = False,
) -> None:
    """Run a worksheet: state of charge, run time, speed by tyre, cable drop and others, with formula and source."""
    if not name:
        _list(as_json)
        return
    try:
        sheet = find_worksheet(name)
        result = work(name, dict(_pair(item) for item in given or [])) if given or not _needs_input(sheet) else None
    except (InputError, OutOfRange, UnreadableCode) as error:
        raise Unusable(str(error)) from error
    if result is None:
        _explain(sheet)
    elif as_json:
        print_json(_plain(result))
    else:
        _show(result)


def _pair(item: str) -> tuple[str, str]:
    name, equals, value = item.partition("=")
    if not equals:
        raise typer.BadParameter(f"'{item}' is not NAME=VALUE, such as volts='38.2 V'.")
    return name.strip(), value.strip()


def _needs_input(sheet: Worksheet) -> bool:
    return any(item.default is None for item in sheet.inputs)


def _list(as_json: bool) -> None:
    if as_json:
        print_json([{"name": s.name, "title": s.title, "inputs": [i.name for i in s.inputs]} for s in WORKSHEETS])
        return
    width = max(len(sheet.name) for sheet in WORKSHEETS)
    for sheet in WORKSHEETS:
        print(f"{sheet.name:{width}}  {sheet.title}")
    print("\nWhat one needs: triage work NAME")


def _explain(sheet: Worksheet) -> None:
    print(sheet.title)
    for item in sheet.inputs:
        print(f"  {item.name:24} {_input_line(item)}")
    needed = " ".join(f"{item.name}=..." for item in sheet.inputs if item.default is None)
    print(f"\nRun it: triage work {sheet.name} {needed}")


def _input_line(item: Input) -> str:
    choices = f" ({', '.join(item.choices)})" if item.choices else ""
    unit = f" [{item.unit}]" if item.unit else ""
    default = f"; {item.default} if not given" if item.default is not None else ""
    return f"{item.label}{unit}{choices}{default}"


def _show(result: WorkResult) -> None:
    print(result.title)
    for outcome in result.inputs:
        print(f"  {outcome.label}: {outcome.text}")
    for outcome in result.results:
        print(f"= {outcome.label}: {outcome.text}")
    print(f"\nFormula  {_hanging(result.formula)}\nSource   {_hanging(result.source)}")
    if result.caution:
        print(f"Caution  {_hanging(result.caution)}")


def _hanging(text: str) -> str:
    return text.replace("\n", "\n         ")


def _plain(result: WorkResult) -> dict[str, object]:
    return {
        "title": result.title,
        "inputs": [_outcome(item) for item in result.inputs],
        "results": [_outcome(item) for item in result.results],
        "formula": result.formula,
        "source": result.source,
        "caution": result.caution,
        "curve": [list(point) for point in result.curve.points] if result.curve else [],
    }


def _outcome(item: Outcome) -> dict[str, object]:
    return {"label": item.label, "value": item.value, "unit": item.unit}

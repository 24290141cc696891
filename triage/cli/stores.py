"""triage store export: the whole queue as JSON lines."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from triage.cli.common import StoreOption, counted, open_store
from triage.cli.errors import naming
from triage.pack.atomic import write_files
from triage.store import export_lines

app = typer.Typer(rich_markup_mode=None, help="The queue as a whole: export it.", no_args_is_help=True)


@app.command("export")
def export_command(
    to: Annotated[Path | None, typer.Option("--to", help="File for the JSON lines; else they are printed.")] = None,
    store: StoreOption = None,
) -> None:
    """Every thread as a line of JSON, with its readings, drafts, what was changed in them, and its history."""
    with open_store(store) as queue:
        if to is None:
            for line in export_lines(queue):
                sys.stdout.buffer.write(f"{line}\n".encode())
            return
        lines = list(export_lines(queue))
    with naming(to):
        write_files({to: "".join(f"{line}\n" for line in lines).encode()})
    print(f"{counted(len(lines), 'thread')} written to {to}")

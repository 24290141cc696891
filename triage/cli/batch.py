"""triage batch: a large history read on all cores, or on several machines, with stop and resume."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from triage.cli.common import EncoderOption, PackOption, open_pack, open_stages, pack_folder
from triage.cli.errors import naming
from triage.intake import load_columns, read_source

if TYPE_CHECKING:
    from triage.batch.run import Step

PART = 200  # messages; at 50 ms each a stop loses ten seconds of each worker
_EMPTY = "Nothing is in the sources. Was the export finished, and is it the right file?"
_TELL_EVERY = 60.0  # seconds between two lines where there is no terminal


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("batch")(batch_command)


def batch_command(
    sources: Annotated[
        list[Path],
        typer.Argument(metavar="SOURCE...", help="mbox, .eml, folder of .eml, Maildir, .csv, .jsonl or notes (.txt)."),
    ],
    to: Annotated[Path, typer.Option("--to", help="Folder for the readings and the ledger; the same goes on in it.")],
    workers: Annotated[
        int, typer.Option("--workers", min=1, help="Processes that read.", show_default="one for each core")
    ] = os.cpu_count() or 1,
    cluster: Annotated[
        str, typer.Option("--cluster", help="Address of a Dask scheduler, tcp://HOST:8786: its workers read instead.")
    ] = "",
    part: Annotated[int, typer.Option("--part", min=1, help="Messages in each file of readings.")] = PART,
    drafts: Annotated[bool, typer.Option("--drafts", help="Keep the drafted replies as well.")] = False,
    columns: Annotated[Path | None, typer.Option(help="What the columns of an export mean (YAML).")] = None,
    pack: PackOption = None,
    encoder: EncoderOption = "",
) -> None:
    """Read a large history, each message by itself, into files of JSON lines; the queue is not touched.

    Stopped or killed, the same command goes on from the last finished part, and every message is read once.
    """
    from triage.batch.ledger import Ledger
    from triage.batch.lock import alone
    from triage.batch.plan import cut
    from triage.batch.run import run
    from triage.batch.work import Job, read_part, terms_of

    mapping = load_columns(columns) if columns else None
    named = [read_source(source, columns=mapping) for source in sources]  # all of them are looked at first
    terms = terms_of(open_stages(open_pack(pack), encoder), part, drafts)  # and the first run's vectors are kept
    with naming(to):
        to.mkdir(parents=True, exist_ok=True)
    parts = cut((item for items in named for item in items), part)
    with alone(to), _executor(workers, cluster) as (executor, ahead):
        job = Job(pack_folder(pack).resolve(), encoder, terms)
        _told(run(parts, partial(read_part, job=job), to, Ledger(to, terms), executor, ahead), to)


@contextmanager
def _executor(workers: int, cluster: str) -> Iterator[tuple[Executor, int]]:
    """Who reads, and how many parts to hold: for each worker the one it reads, and the next."""
    from triage.batch import pool

    if cluster:
        with pool.cluster(cluster) as (executor, count):
            yield executor, 2 * count
    else:
        with pool.processes(workers) as executor:
            yield executor, 2 * workers


def _told(steps: Iterator[Step], to: Path) -> None:
    """Follow the run with a count, on a terminal or line by line, and say what came of it."""
    so_far = Running(time.monotonic())
    with _bar() as show:
        for step in steps:
            so_far.add(step)
            show(so_far.line())
    print(so_far.line())
    print(f"The readings are in {to}, one line for each message, in the order they came." if so_far.parts else _EMPTY)


class Running:
    """What was read so far."""

    def __init__(self, began: float) -> None:
        self._began = began
        self.parts = self._here = self._now = self._questions = self._set_aside = 0

    def add(self, step: Step) -> None:
        """One part more."""
        self.parts += 1
        self._now += step.done.messages * step.now
        self._here += step.done.messages * (not step.now)
        self._questions += step.done.questions
        self._set_aside += step.done.set_aside

    def line(self) -> str:
        """The figures in a line."""
        rate = self._now / max(time.monotonic() - self._began, 1e-9)
        found = f"{self._questions:,} questions in them; {self._set_aside:,} could not be read and are set aside."
        return f"{self._now:,} messages read ({rate:.1f} a second), {self._here:,} read before; {found}"


@contextmanager
def _bar() -> Iterator[Callable[[str], None]]:
    """A running line on a terminal, else a line each minute."""
    from rich.console import Console

    console = Console(stderr=True)
    if console.is_terminal:
        with console.status("Reading") as status:
            yield lambda line: status.update(line)
        return
    last = time.monotonic()

    def show(line: str) -> None:
        nonlocal last
        if time.monotonic() - last >= _TELL_EVERY:
            last = time.monotonic()
            print(line, file=sys.stderr, flush=True)

    yield show

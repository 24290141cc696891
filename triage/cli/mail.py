"""triage take-in and phone: what comes in."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Annotated, TypeVar

import typer

from triage.cli.common import (
    ByOption,
    EncoderOption,
    JsonOption,
    PackOption,
    StoreOption,
    counted,
    now,
    open_pack,
    open_stages,
    open_store,
    print_json,
    who,
    words_of,
)
from triage.cli.errors import naming
from triage.desk import Tally, read_open, read_thread, take_in
from triage.intake import from_text, load_columns, read_source
from triage.model import Message, Rejected

Item = TypeVar("Item")


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    app.command("take-in")(take_in_command)
    app.command("phone")(phone_command)


def take_in_command(
    sources: Annotated[
        list[Path],
        typer.Argument(metavar="SOURCE...", help="mbox, .eml, folder of .eml, Maildir, .csv, .jsonl or notes (.txt)."),
    ],
    columns: Annotated[Path | None, typer.Option(help="What the columns of an export mean (YAML).")] = None,
    only_keep: Annotated[
        bool, typer.Option("--only-keep", help="Keep the mail; read it later with 'triage queue --read'.")
    ] = False,
    as_json: JsonOption = False,
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
    by: ByOption = "",
) -> None:
    """Take mail and exports into the queue and read what is new. The same mail taken in twice changes nothing."""
    mapping = load_columns(columns) if columns else None
    named = [(source, read_source(source, columns=mapping)) for source in sources]  # all of them are looked at first
    arrived = (item for source, items in named for item in _named(source, items))
    loaded = open_pack(pack)
    with open_store(store, create=True) as queue:
        tally = take_in(progress(arrived, "Taking in"), queue, loaded, by=who(by))
        read = 0 if only_keep else sum(1 for _ in progress(read_open(queue, open_stages(loaded, encoder)), "Reading"))
    if not tally.total:
        names = ", ".join(map(str, sources))
        print(f"{names}: nothing is in it. Was the export finished, and is it the right file?", file=sys.stderr)
    _report(tally, read, as_json)


def _named(source: Path, items: Iterable[Message | Rejected]) -> Iterator[Message | Rejected]:
    with naming(source):
        yield from items


def progress(items: Iterator[Item], label: str) -> Iterator[Item]:
    """Pass the items on, with a running count on a terminal."""
    from rich.console import Console
    from rich.progress import MofNCompleteColumn, Progress, SpinnerColumn, TextColumn

    console = Console(stderr=True)
    columns = (SpinnerColumn(), TextColumn(label), MofNCompleteColumn())
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task(label, total=None)
        for item in items:
            yield item
            bar.advance(task)


def _report(tally: Tally, read: int, as_json: bool) -> None:
    if as_json:
        known = {"new": tally.new, "known": tally.duplicate, "automatic": tally.automatic}
        print_json({**known, "set_aside": tally.rejected, "read": read})
        return
    rest = f"{tally.duplicate} already here, {tally.automatic} automatic, {tally.rejected} set aside"
    print(f"Taken in: {tally.new} new, {rest}.")
    print(f"Read: {counted(read, 'thread')}.")
    if tally.rejected:
        print("What was set aside, and why: triage unreadable")


def phone_command(
    text: Annotated[str, typer.Argument(help="What the caller asked; '-' reads standard input.")],
    caller: Annotated[str, typer.Option("--from", help="Name of the caller.")] = "",
    rang: Annotated[str, typer.Option("--number", help="Number the caller rang from; it finds earlier calls.")] = "",
    as_json: JsonOption = False,
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
    by: ByOption = "",
) -> None:
    """Take in a question asked by phone, and read it."""
    message = from_text(words_of(text), sender=caller, sent=now())
    if rang.strip():
        message = replace(message, notes=(*message.notes, f"rang from {rang.strip()}"))
    stages = open_stages(open_pack(pack), encoder)
    with open_store(store, create=True) as queue:
        numbers = take_in([message], queue, stages.pack, by=who(by)).threads
        for number in numbers:
            read_thread(queue.thread(number), queue, stages)
    if as_json:
        print_json({"threads": list(numbers)})
    for number in () if as_json else numbers:
        print(f"Kept and read as thread {number}: triage show {number}")

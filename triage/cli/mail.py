"""triage take-in, note and reply: what comes in, and what is made ready to go out."""

from __future__ import annotations

import os
import sys
import uuid
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from typing import Annotated, TypeVar

import typer

from triage.cli.common import (
    ByOption,
    EncoderOption,
    JsonOption,
    PackOption,
    StoreOption,
    ThreadArgument,
    now,
    open_pack,
    open_stages,
    open_store,
    print_json,
    who,
)
from triage.desk import Tally, read_open, take_in
from triage.intake import from_text, load_columns, read_source
from triage.model import Message, Rejected
from triage.reply.outgoing import to_eml

Item = TypeVar("Item")


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    app.command("take-in")(take_in_command)
    app.command("phone")(phone_command)
    app.command("reply")(reply_command)


def take_in_command(
    sources: Annotated[
        list[Path], typer.Argument(help="mbox, .eml, folder of .eml, Maildir, .csv, .jsonl or notes (.txt).")
    ],
    columns: Annotated[Path | None, typer.Option(help="What the columns of an export mean (YAML).")] = None,
    only_keep: Annotated[
        bool, typer.Option("--only-keep", help="Keep the mail; read it later with 'triage queue'.")
    ] = False,
    as_json: JsonOption = False,
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
    by: ByOption = "",
) -> None:
    """Take mail and exports into the queue and read what is new. The same mail taken in twice changes nothing."""
    mapping = load_columns(columns) if columns else None
    arrived = chain.from_iterable(read_source(source, columns=mapping) for source in sources)
    loaded = open_pack(pack)
    with open_store(store) as queue:
        tally = take_in(_with_progress(arrived), queue, loaded, by=who(by))
        read = 0 if only_keep else sum(1 for _ in _reading(read_open(queue, open_stages(pack, encoder))))
    _report(tally, read, as_json)


def _with_progress(arrived: Iterator[Message | Rejected]) -> Iterator[Message | Rejected]:
    return _counted(arrived, "Taking in")


def _reading(numbers: Iterator[int]) -> Iterator[int]:
    return _counted(numbers, "Reading")


def _counted(items: Iterator[Item], label: str) -> Iterator[Item]:
    """Pass the items on, with a running count on a terminal."""
    from rich.console import Console
    from rich.progress import MofNCompleteColumn, Progress, SpinnerColumn, TextColumn

    console = Console(stderr=True)
    columns = (SpinnerColumn(), TextColumn(label), MofNCompleteColumn())
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as progress:
        task = progress.add_task(label, total=None)
        for item in items:
            yield item
            progress.advance(task)


def _report(tally: Tally, read: int, as_json: bool) -> None:
    if as_json:
        print_json(
            {
                "new": tally.new,
                "known": tally.duplicate,
                "automatic": tally.automatic,
                "set_aside": tally.rejected,
                "read": read,
            }
        )
        return
    known = f"{tally.duplicate} already here, {tally.automatic} automatic, {tally.rejected} set aside"
    print(f"Taken in: {tally.new} new, {known}.")
    print(f"Read: {read} threads.")
    if tally.rejected:
        print("What was set aside, and why: triage unreadable")


def phone_command(
    text: Annotated[str, typer.Argument(help="What the caller asked; '-' reads standard input.")],
    caller: Annotated[str, typer.Option("--from", help="Name of the caller.")] = "",
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
    by: ByOption = "",
) -> None:
    """Take in a question asked by phone or over the counter."""
    words = sys.stdin.read() if text == "-" else text
    message = from_text(words, sender=caller, sent=now())
    stages = open_stages(pack, encoder)
    with open_store(store) as queue:
        tally = take_in([message], queue, stages.pack, by=who(by))
        for number in read_open(queue, stages):
            if number in tally.threads:
                print(f"Kept and read as thread {number}: triage show {number}")


def reply_command(
    thread: ThreadArgument,
    to: Annotated[Path, typer.Option("--to", help="Where the .eml goes.")],
    pack: PackOption = None,
    store: StoreOption = None,
) -> None:
    """Write the draft as an .eml that opens in a mail program. Nothing is sent."""
    shop = open_pack(pack).shop
    with open_store(store, create=False) as queue:
        found = queue.thread(thread)
    if not found.drafts:
        raise ValueError(f"Thread {thread} has no draft yet. Read it with: triage queue --read")
    answered = next(m for m in reversed(found.messages) if not m.automatic)
    message_id = f"{uuid.uuid4()}@{shop.mail.rpartition('@')[2]}"
    data = to_eml(found.drafts[-1].draft, answered, shop, now=now(), message_id=message_id)
    temporary = to.with_name(to.name + ".part")
    temporary.write_bytes(data)
    os.replace(temporary, to)
    print(f"Draft for thread {thread} written to {to}. After sending it: triage sent {thread}")

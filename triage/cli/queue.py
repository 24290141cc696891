"""triage queue, counts and unreadable: looking at the list."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from triage.cli.common import (
    EncoderOption,
    JsonOption,
    PackOption,
    StoreOption,
    now,
    open_pack,
    open_stages,
    open_store,
    print_json,
)
from triage.cli.errors import naming
from triage.cli.mail import progress
from triage.desk import read_open
from triage.model import Decision, FactValue
from triage.pack.atomic import write_files
from triage.store import EVERY, OPEN, UNREAD, Filters, QueueRow, SetAsideMail, ThreadState
from triage.typed_facts import number_or_text


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    app.command("queue")(queue_command)
    app.command("counts")(counts_command)
    app.command("unreadable")(unreadable_command)


def queue_command(
    words: Annotated[str, typer.Option("--text", help="Only threads whose mail holds these words, in any state.")] = "",
    state: Annotated[
        list[ThreadState] | None, typer.Option("--state", help="Only in this state; repeat for several.")
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="Settled, replied and set-aside threads too.")] = False,
    decision: Annotated[Decision | None, typer.Option(help="Only with this decision.")] = None,
    fact: Annotated[
        list[str] | None, typer.Option("--fact", help="Only with this fact: pack_voltage=48; repeat for several.")
    ] = None,
    symptom: Annotated[str, typer.Option(help="Only with this symptom (its id).")] = "",
    missing: Annotated[str, typer.Option(help="Only where this fact is missing (its id).")] = "",
    asker: Annotated[str, typer.Option(help="Part of the asker's name or address.")] = "",
    danger: Annotated[bool, typer.Option("--danger", help="Only where a danger was reported.")] = False,
    limit: Annotated[int, typer.Option(min=1, help="At most this many threads.")] = 100,
    read: Annotated[bool, typer.Option("--read", help="First read what has not been read with this pack.")] = False,
    as_json: JsonOption = False,
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
) -> None:
    """The questions to work on: danger first, then the longest wait."""
    filters = Filters(
        states=tuple(state) if state else EVERY if every or words else OPEN,
        decision=decision,
        danger_up_to=UNREAD - 1 if danger else None,
        asker=asker,
        missing=missing,
        facts=_facts(fact or [], symptom),
        limit=limit,
    )
    with open_store(store) as queue:
        if read:
            sum(1 for _ in progress(read_open(queue, open_stages(open_pack(pack), encoder)), "Reading"))
        rows = queue.search(words, filters) if words else queue.queue(filters)
        counts = queue.counts()
    if as_json:
        print_json([row_json(row) for row in rows])
    else:
        from triage.cli.list_page import show_queue

        show_queue(rows, counts, now())


def _facts(given: list[str], symptom: str) -> dict[str, FactValue]:
    facts: dict[str, FactValue] = {"symptom": symptom} if symptom else {}
    for item in given:
        name, equals, value = item.partition("=")
        if not equals:
            raise typer.BadParameter(f"'{item}' is not NAME=VALUE, such as pack_voltage=48.")
        facts[name.strip()] = number_or_text(value.strip())
    return facts


def row_json(row: QueueRow) -> dict[str, Any]:
    """A queue row as plain values."""
    return {
        "thread": row.thread,
        "asker": row.asker.name,
        "email": row.asker.email,
        "subject": row.subject,
        "state": row.state.value,
        "danger": row.danger,
        "decision": row.decision.value if row.decision else None,
        "waiting_since": row.waiting_since,
        "messages": row.messages,
        "vehicle": row.summary.vehicle,
        "wrong": row.summary.wrong,
        "missing": list(row.summary.missing),
    }


def counts_command(as_json: JsonOption = False, store: StoreOption = None) -> None:
    """How many threads stand in each state."""
    with open_store(store) as queue:
        counts = queue.counts()
    if as_json:
        print_json({state.value: count for state, count in counts.items()})
        return
    for state, count in counts.items():
        print(f"{count:6}  {state.label}")


def unreadable_command(
    save: Annotated[Path | None, typer.Option(help="Folder to write the bytes to.")] = None,
    as_json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """What could not be taken in, and why. Its bytes are kept."""
    with open_store(store) as queue:
        items = queue.rejected()
    if save:
        with naming(save):
            write_files({save / f"{n:04}.bin": item.rejected.raw for n, item in enumerate(items, start=1)})
    if as_json:
        print_json([_set_aside_json(item) for item in items])
        return
    for item in items:
        print(f"{item.rejected.source}: {item.rejected.reason} ({len(item.rejected.raw)} bytes kept)")
    print(f"{len(items)} set aside." if items else "Everything could be read.")


def _set_aside_json(item: SetAsideMail) -> dict[str, Any]:
    rejected = item.rejected
    return {"source": rejected.source, "reason": rejected.reason, "bytes": len(rejected.raw), "at": item.at}

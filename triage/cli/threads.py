"""Commands on one thread: show it, note, correct a fact, record a reply, settle, put aside, undo."""

from __future__ import annotations

from typing import Annotated

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
from triage.cli.queue import number_or_text
from triage.contract import reading_to_json
from triage.desk import read_thread
from triage.model import Decision, Fact, Standing
from triage.store import Thread


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    for name, command in (
        ("show", show_command),
        ("note", note_command),
        ("fact", fact_command),
        ("told", told_command),
        ("sent", sent_command),
        ("settle", settle_command),
        ("aside", aside_command),
        ("reopen", reopen_command),
        ("undo", undo_command),
        ("history", history_command),
    ):
        app.command(name)(command)


def show_command(
    thread: ThreadArgument, as_json: JsonOption = False, pack: PackOption = None, store: StoreOption = None
) -> None:
    """One thread whole: the asker's words, what was read out of them, and the draft."""
    with open_store(store, create=False) as queue:
        found = queue.thread(thread)
        history = queue.history(thread)
    if as_json:
        print_json(thread_json(found))
        return
    from triage.cli.show import show_thread

    show_thread(found, history, open_pack(pack), now())


def thread_json(thread: Thread) -> dict[str, object]:
    """A thread as plain values."""
    return {
        "thread": thread.id,
        "subject": thread.subject,
        "asker": thread.asker.name,
        "email": thread.asker.email,
        "state": thread.state.value,
        "messages": [
            {
                "id": m.id,
                "from": m.sender.email,
                "sent": m.sent,
                "text": m.text,
                "quoted": m.quoted,
                "forwarded": m.forwarded,
                "signature": m.signature,
                "automatic": m.automatic,
                "notes": list(m.notes),
            }
            for m in thread.messages
        ],
        "readings": [reading_to_json(saved.reading) for saved in thread.readings],
        "draft": thread.drafts[-1].draft.body if thread.drafts else "",
        "replies": [{"text": r.text, "by": r.by, "at": r.at, "how": r.how} for r in thread.replies],
    }


def note_command(
    thread: ThreadArgument,
    text: Annotated[str, typer.Argument(help="What colleagues should know.")],
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Leave a note for colleagues on a thread."""
    with open_store(store, create=False) as queue:
        queue.note(thread, text, by=who(by))
    print(f"Noted on thread {thread}.")


def fact_command(
    thread: ThreadArgument,
    given: Annotated[
        list[str], typer.Argument(help="NAME=VALUE, NAME!=VALUE (not so), or NAME= (take back what was set).")
    ],
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
    by: ByOption = "",
) -> None:
    """Correct or add facts by hand; the thread is read again at once."""
    stages = open_stages(pack, encoder)
    with open_store(store, create=False) as queue:
        with queue.batch():
            for item in given:
                name, value, standing = _parsed(item, tuple(stages.pack.facts))
                if value:
                    unit = stages.pack.facts[name].unit
                    queue.set_fact(
                        thread,
                        Fact(name, number_or_text(value), unit, standing, None, f"set by {who(by)}"),
                        by=who(by),
                    )
                else:
                    queue.withdraw_fact(thread, name, by=who(by))
        readings = read_thread(queue.thread(thread), queue, stages)
    decisions = ", ".join(reading.decision.value for reading in readings) or "nothing to read"
    print(f"Read again: {decisions}. See: triage show {thread}")


def _parsed(item: str, names: tuple[str, ...]) -> tuple[str, str, Standing]:
    name, equals, value = item.partition("=")
    standing = Standing.DENIED if name.endswith("!") else Standing.STATED
    name = name.rstrip("!").strip()
    if not equals or name not in names:
        raise ValueError(f"'{item}' is not NAME=VALUE with a fact the pack knows: {', '.join(names)}.")
    return name, value.strip(), standing


def told_command(
    thread: ThreadArgument,
    text: Annotated[str, typer.Argument(help="What was said; without it, the draft.")] = "",
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Record that the asker was told by phone."""
    _record(thread, text, "phone", store, by)


def sent_command(
    thread: ThreadArgument,
    text: Annotated[str, typer.Argument(help="What was really sent; without it, the draft.")] = "",
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Record that the reply was sent by mail."""
    _record(thread, text, "mail", store, by)


def _record(thread: int, text: str, how: str, store: StoreOption, by: str) -> None:
    with open_store(store, create=False) as queue:
        found = queue.thread(thread)
        words = text or (found.drafts[-1].draft.body if found.drafts else "")
        if not words:
            raise ValueError(f"Thread {thread} has no draft: say what was told.")
        asks = found.decision is Decision.ASK
        queue.record_reply(thread, words, by=who(by), subject=found.subject, how=how, asks=asks)
        state = queue.thread(thread).state
    print(f"Thread {thread}: {state.label}.")


def settle_command(
    thread: ThreadArgument,
    outcome: Annotated[str, typer.Argument(help="What helped.")] = "",
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Close a thread; what helped is kept for the answer base."""
    with open_store(store, create=False) as queue:
        queue.settle(thread, by=who(by), outcome=outcome)
    print(f"Thread {thread}: settled.")


def aside_command(
    thread: ThreadArgument,
    why: Annotated[str, typer.Argument(help="Why it is not ours to answer.")] = "",
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Take a thread out of the queue without an answer."""
    with open_store(store, create=False) as queue:
        queue.set_aside(thread, by=who(by), why=why)
    print(f"Thread {thread}: set aside.")


def reopen_command(
    thread: ThreadArgument,
    why: Annotated[str, typer.Argument(help="Why it is open again.")] = "",
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Bring a thread back to the queue."""
    with open_store(store, create=False) as queue:
        queue.reopen(thread, by=who(by), why=why)
    print(f"Thread {thread}: new.")


def undo_command(thread: ThreadArgument, store: StoreOption = None, by: ByOption = "") -> None:
    """Take back the last change of a thread's state."""
    with open_store(store, create=False) as queue:
        state = queue.undo(thread, by=who(by))
    print(f"Thread {thread}: {state.label} again.")


def history_command(thread: ThreadArgument, as_json: JsonOption = False, store: StoreOption = None) -> None:
    """Who did what on a thread, and when."""
    with open_store(store, create=False) as queue:
        entries = queue.history(thread)
    if as_json:
        print_json(
            [
                {
                    "at": e.at,
                    "by": e.by,
                    "what": e.what.value,
                    "before": dict(e.before),
                    "after": dict(e.after),
                }
                for e in entries
            ]
        )
        return
    for entry in entries:
        detail = ", ".join(f"{key}: {value}" for key, value in entry.after.items() if isinstance(value, str | int))
        print(f"{entry.at:%Y-%m-%d %H:%M}  {entry.by:12}  {entry.what.value:16}  {detail[:100]}")

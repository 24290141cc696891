"""Commands on one thread: show it, note, correct a fact, settle, put aside, undo."""

from __future__ import annotations

from typing import Annotated

import typer

from triage.cli.common import (
    ByOption,
    EncoderOption,
    JsonOption,
    PackOption,
    StoreOption,
    StyleOption,
    ThreadArgument,
    now,
    open_pack,
    open_stages,
    open_store,
    print_json,
    who,
    words_of,
)
from triage.cli.plain import entry_json, entry_lines, thread_json
from triage.cli.replies import draft_to_show
from triage.desk import read_thread
from triage.model import Decision
from triage.store import MOVES, OPEN, Filters, Store, Thread, ThreadState
from triage.typed_facts import GivenFacts, given_facts
from triage.unusable import Unusable


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    for name, command in (
        ("show", show_command),
        ("note", note_command),
        ("fact", fact_command),
        ("settle", settle_command),
        ("aside", aside_command),
        ("reopen", reopen_command),
        ("undo", undo_command),
        ("history", history_command),
    ):
        app.command(name)(command)


def show_command(
    thread: Annotated[
        int | None, typer.Argument(metavar="THREAD", help="Number of the thread, as the queue shows it.")
    ] = None,
    best: Annotated[
        bool, typer.Option("--best", help="Of the threads that can be answered or asked back, the one that tells most.")
    ] = False,
    style: StyleOption = None,
    as_json: JsonOption = False,
    pack: PackOption = None,
    store: StoreOption = None,
) -> None:
    """One thread whole: the words, what the asker told before, what they tell now, and the draft."""
    if (thread is None) != best:
        raise typer.BadParameter("give the number of a thread, or --best.")
    with open_store(store) as queue:
        found = queue.thread(thread) if thread is not None else most_telling(queue)
        history, prior = queue.history(found.id), queue.prior(found.id)
    loaded = open_pack(pack) if style or not as_json else None
    draft = draft_to_show(found, style, loaded)
    if as_json or loaded is None:
        print_json(thread_json(found, prior, draft))
        return
    from triage.cli.show import show_thread

    show_thread(found, history, prior, draft, loaded, now())


def most_telling(queue: Store) -> Thread:
    """The open thread that shows best what a reading is: short, answered sooner than asked back, with most facts."""
    found = [
        row.thread
        for decision in (Decision.ANSWER, Decision.ASK)
        for row in queue.queue(Filters(states=OPEN, decision=decision, limit=1_000_000))
    ]
    if not found:
        raise Unusable("No open thread can be answered or asked back yet. See them all: triage queue --all")
    return max(map(queue.thread, sorted(found)), key=_tells)


SHORT = 120  # words of a thread that can be taken in at a glance


def _tells(thread: Thread) -> tuple[bool, bool, int]:
    """Short before long, answered before asked back, then by the facts of the fullest reading."""
    words = sum(len(message.text.split()) for message in thread.messages)
    facts = [len({(f.name, f.value) for f in saved.reading.facts}) for saved in thread.readings]
    answered = all(saved.reading.decision is Decision.ANSWER for saved in thread.readings)
    return words <= SHORT and len(facts) == 1, answered, max(facts, default=0)


def note_command(
    thread: ThreadArgument,
    text: Annotated[str, typer.Argument(help="What colleagues should know; '-' reads standard input.")],
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Leave a note for colleagues on a thread."""
    with open_store(store) as queue:
        queue.note(thread, words_of(text), by=who(by))
    print(f"Noted on thread {thread}.")


def fact_command(
    thread: ThreadArgument,
    given: Annotated[
        list[str],
        typer.Argument(metavar="FACT...", help="NAME=VALUE, NAME!=VALUE (not so), or NAME= (take back what was set)."),
    ],
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
    by: ByOption = "",
) -> None:
    """Correct or add facts by hand, and read the thread again."""
    loaded = open_pack(pack)
    facts = given_facts(given, loaded, who(by))
    with open_store(store) as queue:
        _refuse_closed(queue.thread(thread))
        stages = open_stages(loaded, encoder)
        _write_facts(queue, thread, facts, who(by))
        readings = read_thread(queue.thread(thread), queue, stages)
    decisions = ", ".join(reading.decision.value for reading in readings) or "there is no question to read"
    print(f"Read again: {decisions}. See: triage show {thread}")


def _refuse_closed(thread: Thread) -> None:
    if ThreadState.READY not in {thread.state, *MOVES[thread.state]} and thread.questions:
        raise Unusable(f"Thread {thread.id} is {thread.state.label}. Open it first: triage reopen {thread.id}")


def _write_facts(queue: Store, thread: int, given: GivenFacts, by: str) -> None:
    with queue.batch():
        for name in given.withdrawn:
            queue.withdraw_fact(thread, name, by=by)
        if given.facts:
            queue.set_fact(thread, *given.facts, by=by)


def settle_command(
    thread: ThreadArgument,
    outcome: Annotated[str, typer.Argument(help="What helped.")] = "",
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Close a thread; what helped is kept for the answer base."""
    with open_store(store) as queue:
        queue.settle(thread, by=who(by), outcome=outcome)
    print(f"Thread {thread}: settled.")


def aside_command(
    thread: ThreadArgument,
    why: Annotated[str, typer.Argument(help="Why it is not ours to answer.")] = "",
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Take a thread out of the queue without an answer."""
    with open_store(store) as queue:
        queue.set_aside(thread, by=who(by), why=why)
    print(f"Thread {thread}: set aside.")


def reopen_command(
    thread: ThreadArgument,
    why: Annotated[str, typer.Argument(help="Why it is open again.")] = "",
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Bring a thread back to the queue."""
    with open_store(store) as queue:
        queue.reopen(thread, by=who(by), why=why)
    print(f"Thread {thread}: new.")


def undo_command(thread: ThreadArgument, store: StoreOption = None, by: ByOption = "") -> None:
    """Take back the last change of a thread's state."""
    with open_store(store) as queue:
        state = queue.undo(thread, by=who(by))
    print(f"Thread {thread}: {state.label} again.")


def history_command(thread: ThreadArgument, as_json: JsonOption = False, store: StoreOption = None) -> None:
    """Who did what on a thread, and when."""
    with open_store(store) as queue:
        entries = queue.history(thread)
    if as_json:
        print_json([entry_json(entry) for entry in entries])
        return
    for entry in entries:
        print("\n".join(entry_lines(entry)))

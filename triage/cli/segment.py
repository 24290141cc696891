"""triage segment: plan the weekly programme, put it on a sheet, note what was said."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated, Any

import typer

from triage.cli.common import (
    ByOption,
    JsonOption,
    PackOption,
    StoreOption,
    ThreadArgument,
    counted,
    now,
    open_pack,
    open_store,
    print_json,
    who,
)
from triage.cli.errors import naming
from triage.cli.segment_json import programme_json, said_json
from triage.cli.segment_page import show
from triage.pack.atomic import write_files
from triage.segment.programme import Programme, Said, Spoken, Wish
from triage.segment.sheet import Sheet
from triage.store import Store, ThreadState
from triage.unusable import Unusable

app = typer.Typer(
    rich_markup_mode=None,
    help="The weekly question hour: choose the questions, print the sheet, note what was said.",
    no_args_is_help=True,
)

DateOption = Annotated[str, typer.Option("--date", help="Day of the programme, 2026-11-26; else the one to come.")]
PaperOption = Annotated[str, typer.Option("--paper", help="Paper to print on: a4 or letter.")]


@app.command("plan")
def plan_command(
    day: DateOption = "",
    minutes: Annotated[float, typer.Option(min=5, max=240, help="Time on air.")] = 30.0,
    reserve: Annotated[
        float | None, typer.Option(min=0, help="Of it, minutes kept for live questions; else 15 in 100.")
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="Show every question left out, with its reason.")] = False,
    pack: PackOption = None,
    store: StoreOption = None,
    by: ByOption = "",
    as_json: JsonOption = False,
) -> None:
    """Choose the questions and keep the plan. Planning again keeps your locks and vetoes."""
    from triage.producer import plan

    if reserve is not None and reserve >= minutes:
        raise typer.BadParameter(f"a reserve of {reserve:g} minutes leaves nothing of {minutes:g}.")
    with open_store(store) as queue:
        programme = plan(queue, open_pack(pack), the_day(queue, day), by=who(by), minutes=minutes, reserve=reserve)
        unread = _unread(queue)
    if as_json:
        print_json(programme_json(programme))
        return
    show(programme, every)
    if unread:
        print(f"\n{counted(unread, 'thread')} not read yet, and so not looked at: triage queue --read")


def the_day(queue: Store, given: str) -> date:
    """The day named, else that of the programme to come. Raises BadParameter."""
    from triage.producer import next_day

    try:
        return date.fromisoformat(given) if given else next_day(queue, now().date())
    except ValueError as error:
        raise typer.BadParameter(f"'{given}' is no date. Write it as year-month-day: 2026-11-26.") from error


def _unread(queue: Store) -> int:
    open_ones = queue.each_thread((ThreadState.NEW, ThreadState.READY))
    return sum(1 for thread in open_ones if thread.questions and not thread.readings)


@app.command("show")
def show_command(
    day: DateOption = "",
    every: Annotated[bool, typer.Option("--all", help="Show every question left out, with its reason.")] = False,
    store: StoreOption = None,
    as_json: JsonOption = False,
) -> None:
    """The plan as it is kept, with why each question is on."""
    with open_store(store) as queue:
        programme = queue.programmes.get(the_day(queue, day))
        notes = queue.programmes.said(programme.day)
    if as_json:
        print_json({**programme_json(programme), "said": [said_json(note) for note in notes]})
    else:
        show(programme, every)


@app.command("lock")
def lock_command(thread: ThreadArgument, day: DateOption = "", store: StoreOption = None, by: ByOption = "") -> None:
    """This question is on, whatever else; plan again to see it."""
    _wish(thread, day, Wish.LOCK, "", store, by)


@app.command("veto")
def veto_command(
    thread: ThreadArgument,
    why: Annotated[str, typer.Option("--why", help="The reason; it is kept.")] = "",
    day: DateOption = "",
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """This question is not on; plan again to see what takes its place."""
    _wish(thread, day, Wish.VETO, why, store, by)


@app.command("free")
def free_command(thread: ThreadArgument, day: DateOption = "", store: StoreOption = None, by: ByOption = "") -> None:
    """Take a lock or a veto back."""
    _wish(thread, day, None, "", store, by)


def _wish(thread: int, given: str, wish: Wish | None, why: str, store: Path | None, by: str) -> None:
    with open_store(store) as queue:
        day = the_day(queue, given)
        queue.programmes.wish(day, thread, wish, by=who(by), why=why)
    words = {Wish.LOCK: "is locked in", Wish.VETO: "is taken out", None: "is free again"}[wish]
    print(f"Thread {thread} {words} for {day}. Plan again: triage segment plan --date {day}")


@app.command("name-agreed")
def name_agreed_command(
    thread: ThreadArgument,
    answer: Annotated[str, typer.Argument(help="yes or no; until you say yes it is 'a reader'.")],
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Keep whether the asker may be called by the first name on air."""
    if answer not in ("yes", "no"):
        raise typer.BadParameter(f"'{answer}' is neither yes nor no.")
    with open_store(store) as queue:
        queue.programmes.agree(thread, answer == "yes", by=who(by))
    print(f"Thread {thread}: {'the first name may be said' if answer == 'yes' else 'no name is said'}.")


@app.command("sheet")
def sheet_command(
    to: Annotated[Path, typer.Option("--to", help="File to write: .pdf, .html or .txt; its ending says which.")],
    paper: PaperOption = "a4",
    day: DateOption = "",
    pack: PackOption = None,
    store: StoreOption = None,
) -> None:
    """Write the run sheet: large type, a page a question, complete without a network."""
    from triage.producer import sheet

    with open_store(store) as queue:
        made = sheet(queue, open_pack(pack), the_day(queue, day))
    data = _written(made, to.suffix.lower(), paper.lower())
    with naming(to):
        write_files({to: data})
    print(f"{made.title}: {counted(len(made.pages), 'page')} written to {to}")


def _written(sheet: Sheet, ending: str, paper: str) -> bytes:
    from triage.segment.paper import PAPERS
    from triage.segment.sheet_html import as_html
    from triage.segment.sheet_pdf import as_pdf
    from triage.segment.sheet_text import as_text

    if paper not in PAPERS:
        raise typer.BadParameter(f"'{paper}' is no paper known here: {' or '.join(PAPERS)}.")
    match ending:
        case ".pdf":
            return as_pdf(sheet, PAPERS[paper])
        case ".html" | ".htm":
            return as_html(sheet, PAPERS[paper]).encode()
        case ".txt":
            return as_text(sheet).encode()
    raise Unusable(f"A sheet is a .pdf, an .html or a .txt file, not '{ending or 'a file without ending'}'.")


@app.command("said")
def said_command(
    thread: ThreadArgument,
    how: Annotated[Spoken, typer.Option("--how", help="What became of it.")] = Spoken.SAID,
    note: Annotated[str, typer.Option("--note", help="What was said instead, or is to be asked.")] = "",
    seconds: Annotated[float, typer.Option("--seconds", min=0, help="How long it took.")] = 0.0,
    day: DateOption = "",
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Note what became of a question of the programme."""
    with open_store(store) as queue:
        programme = queue.programmes.get(the_day(queue, day))
        found = queue.thread(thread).id
        if found not in programme.threads:
            raise Unusable(f"Thread {thread} is not in the programme of {programme.day}.")
        queue.programmes.say(Said(programme.day, found, how, note, seconds=seconds), by=who(by))
    print(f"Thread {thread}: {how.value.replace('_', ' ')}.")


@app.command("done")
def done_command(day: DateOption = "", store: StoreOption = None, by: ByOption = "") -> None:
    """The hour is over: keep it as it was. With no note at all, all was said; else what has none is carried over."""
    from triage.producer import close

    with open_store(store) as queue:
        programme = close(queue, the_day(queue, day), by=who(by))
        notes = queue.programmes.said(programme.day)
    over = [note for note in notes if note.how is Spoken.POSTPONED]
    live = sum(1 for note in notes if not note.thread)
    said = len(notes) - len(over) - live
    print(f"{programme.day}: {counted(said, 'question')} said, {len(over)} carried over, {live} asked live.")


@app.command("weeks")
def weeks_command(store: StoreOption = None, as_json: JsonOption = False) -> None:
    """Every programme kept, oldest first."""
    with open_store(store) as queue:
        weeks = queue.programmes.weeks()
    if as_json:
        print_json([_week_json(programme) for programme in weeks])
        return
    for programme in weeks:
        state = "on air" if programme.aired else "planned"
        tip = f", tip: {programme.tip.id}" if programme.tip else ""
        print(f"{programme.day}  {state:8} {counted(len(programme.slots), 'question')}{tip}")
    if not weeks:
        print("No programme yet: triage segment plan")


def _week_json(programme: Programme) -> dict[str, Any]:
    threads = [slot.candidate.thread for slot in programme.slots]
    return {"date": programme.day.isoformat(), "aired": programme.aired, "threads": threads}

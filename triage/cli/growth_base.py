"""triage grow topics, stale, causes, confirm and back: what the base lacks, and how it stands."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated

import typer

from triage.cli.common import (
    ByOption,
    EncoderOption,
    JsonOption,
    PackOption,
    StoreOption,
    ThreadArgument,
    counted,
    now,
    open_pack,
    open_stages,
    open_store,
    print_json,
    who,
)
from triage.cli.growth import app

__all__ = ["app"]  # the same one; this module adds its commands


@app.command("topics")
def topics_command(
    pack: PackOption = None, store: StoreOption = None, encoder: EncoderOption = "", as_json: JsonOption = False
) -> None:
    """What is asked and has no answer, or no good one: the most askers first."""
    from triage.editor_views import open_topics

    with open_store(store) as queue:
        found = open_topics(queue, open_stages(open_pack(pack), encoder), now().date())
    if as_json:
        print_json([asdict(topic) for topic in found])
        return
    for topic in found:
        asked = f"{counted(topic.askers, 'asker')}, {counted(topic.days, 'day')}, {topic.minutes:g} minutes"
        print(f"{topic.name}: {asked}; threads {', '.join(map(str, topic.threads))}")
    if not found:
        print("Nothing was asked twice without an answer.")


@app.command("stale")
def stale_command(
    every: Annotated[bool, typer.Option("--all", help="Every answer, with its use and outcome.")] = False,
    pack: PackOption = None,
    store: StoreOption = None,
    as_json: JsonOption = False,
) -> None:
    """Answers to look at again: long not reviewed, not used, often changed, or that did not help."""
    from triage.editor_views import answer_standings

    with open_store(store) as queue:
        found = [one for one in answer_standings(queue, open_pack(pack), now().date()) if every or one.stale]
    if as_json:
        print_json([asdict(one) for one in found])
        return
    for one in found:
        use = f"used {one.uses}, changed {one.changed}, helped {one.helped}, did not {one.did_not_help}"
        print(f"{one.answer}: {'; '.join(one.stale) or 'in order'} ({use}; by {one.author or 'nobody named'})")
    if not found:
        print("No answer is stale.")


@app.command("causes")
def causes_command(pack: PackOption = None, as_json: JsonOption = False) -> None:
    """Causes that were confirmed in the shop's own cases, and how far they moved."""
    from triage.editor_views import cause_shifts

    found = cause_shifts(open_pack(pack))
    if as_json:
        print_json([asdict(shift) for shift in found])
        return
    for shift in found:
        print(
            f"{shift.cause} ({shift.label}): {shift.before:.3f} -> {shift.now:.3f}; {counted(len(shift.cases), 'case')}"
        )
        for case in shift.cases:
            print(f"    {case}")
    if not found:
        print("No cause was confirmed yet: triage grow confirm THREAD CAUSE")


@app.command("confirm")
def confirm_command(
    thread: ThreadArgument,
    cause: Annotated[str, typer.Argument(metavar="CAUSE", help="Id of the cause it turned out to be.")],
    pack: PackOption = None,
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Say which cause it turned out to be: it then counts a little more."""
    from triage.editor_views import confirm_cause

    with open_store(store) as queue:
        confirm_cause(queue, open_pack(pack), thread, cause, by=who(by), on=now().date())
    print(f"Counted: thread {thread} was {cause}. Take it back with: triage grow back {thread}")


@app.command("back")
def back_command(thread: ThreadArgument, pack: PackOption = None, store: StoreOption = None, by: ByOption = "") -> None:
    """Take a confirmed cause back."""
    from triage.editor_views import take_back_cause

    with open_store(store) as queue:
        take_back_cause(queue, open_pack(pack), thread, by=who(by))
    print(f"Thread {thread} counts for no cause.")

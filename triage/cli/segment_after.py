"""triage segment, after the hour: reply drafts, digest, material for the answer base, figures."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from triage.cli.common import (
    ByOption,
    JsonOption,
    PackOption,
    StoreOption,
    counted,
    now,
    open_pack,
    open_store,
    print_json,
    who,
)
from triage.cli.errors import naming
from triage.cli.segment import DateOption, app, the_day
from triage.pack.atomic import write_files
from triage.store import Store
from triage.unusable import Unusable

__all__ = ["app"]


def last_day(queue: Store, given: str) -> date:
    """The day named, else that of the hour that was on air last. Raises BadParameter."""
    aired = [programme.day for programme in queue.programmes.weeks() if programme.aired]
    return aired[-1] if aired and not given else the_day(queue, given)


@app.command("follow-up")
def follow_up_command(
    day: DateOption = "",
    pack: PackOption = None,
    store: StoreOption = None,
    by: ByOption = "",
    as_json: JsonOption = False,
) -> None:
    """Draft what was said to those askers, and list what is carried over. Nothing is sent."""
    from triage.after_hour import follow_up

    with open_store(store) as queue:
        when = last_day(queue, day)
        done = follow_up(queue, open_pack(pack), when, by=who(by))
    if as_json:
        print_json(
            {
                "day": when.isoformat(),
                "drafts": [
                    {"thread": one.thread, "how": one.how.value, "version": one.version or None, "why_not": one.why_not}
                    for one in done.drafted
                ],
                "carried_over": [{"thread": one.thread, "question": one.question} for one in done.carried],
                "material": [one.as_json() for one in done.material],
            }
        )
        return
    made = [one for one in done.drafted if one.version]
    print(f"{when}: {counted(len(made), 'draft')} made; look at each before it goes out.")
    for one in done.drafted:
        print(f"  thread {one.thread}: " + (f"draft {one.version}" if one.version else f"no draft, {one.why_not}"))
    for carried in done.carried:
        print(f"  carried over, thread {carried.thread}: {carried.question}")


@app.command("digest")
def digest_command(
    to: Annotated[Path, typer.Option("--to", help="File to write: .md or .html; its ending says which.")],
    day: DateOption = "",
    pack: PackOption = None,
    store: StoreOption = None,
) -> None:
    """Questions and answers of an hour for the shop's site; nobody is named."""
    from triage.after_hour import digest
    from triage.segment.digest import as_html, as_markdown

    writers = {".md": as_markdown, ".html": as_html, ".htm": as_html}
    if to.suffix.lower() not in writers:
        raise Unusable(f"A digest is an .md or an .html file, not '{to.suffix or 'a file without ending'}'.")
    with open_store(store) as queue:
        made = digest(queue, open_pack(pack), last_day(queue, day))
    with naming(to):
        write_files({to: writers[to.suffix.lower()](made).encode()})
    print(f"{made.title}: {counted(len(made.entries), 'question')} written to {to}. Read it before you publish it.")


@app.command("figures")
def figures_command(
    to: Annotated[Path, typer.Option("--to", help="Folder for the pictures; made when it is not there.")],
    pack: PackOption = None,
    store: StoreOption = None,
) -> None:
    """Questions by week, topic and season, waiting, said, settled: one .svg each."""
    from triage.after_hour import figures
    from triage.bench.rendering import environment

    with open_store(store) as queue:
        charts = figures(queue, open_pack(pack), now().date())
    if not charts:
        raise Unusable("Nothing was read yet, so there is nothing to count. Read first: triage queue --read")
    template = environment().get_template("air_bars.svg")
    with naming(to):
        to.mkdir(parents=True, exist_ok=True)
        write_files({to / f"{chart.name}.svg": template.render(chart=chart).encode() for chart in charts})
    print(f"{counted(len(charts), 'picture')} written to {to}")

"""triage learn: fit the ranker to what the shop sent, and take that back again."""

from __future__ import annotations

import sys
from dataclasses import asdict
from typing import Annotated

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
    pack_folder,
    print_json,
)
from triage.cli.errors import naming


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("learn")(learn_command)


def learn_command(
    back: Annotated[bool, typer.Option("--back", help="Take back what was learned last.")] = False,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Only say what would come of it.")] = False,
    as_json: JsonOption = False,
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
) -> None:
    """Learn from what was sent, edited or left out which answer is likeliest; kept only where that is better."""
    if back:
        _go_back(pack)
        return
    from triage.growth.learn import learn
    from triage.growth.learn_report import report
    from triage.learning import lessons_of
    from triage.learnt_ranker import keep
    from triage.matching.rank import Ranker

    stages, shipped = open_stages(open_pack(pack), encoder), Ranker.load()
    with open_store(store) as queue:
        lessons = lessons_of(queue, stages, _said)
    learnt = learn(shipped, lessons)
    kept = ""
    if learnt.keep and not dry_run:
        root = pack_folder(pack)
        with naming(root):
            kept = str(keep(root, learnt.ranker, stages.encoder.tag, len(lessons), now().date()))
    lines = report(learnt, shipped)
    if as_json:
        values = {"keep": learnt.keep, "kept": kept, "report": list(lines), "ranker": asdict(learnt.ranker)}
        print_json(values | {"judged": asdict(learnt.by_thread) if learnt.by_thread else None})
        return
    print("\n".join(lines))
    if kept:
        print(f"Kept in {kept}; it counts from the next start. 'triage learn --back' takes it back.")
    elif learnt.keep:
        print("Nothing was written, as asked.")


def _go_back(pack: PackOption) -> None:
    from triage.learnt_ranker import go_back

    root = pack_folder(pack)
    with naming(root):
        gone = go_back(root)
    if gone is None:
        print("Nothing was learned yet: the shipped weights count.")
        return
    aside, present = gone
    print(f"Taken back: what was learned last lies in {aside}.")
    print(f"What counts now: {present or 'the shipped weights'}.")


def _said(done: int, of: int) -> None:
    """Every fifty threads a word on stderr: reading takes a while."""
    if done % 50 == 0 and done < of:
        print(f"{done} of {of} threads read ...", file=sys.stderr)

"""triage grow: proposals for the answer base, looked at and decided by an editor."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

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
)
from triage.cli.errors import naming
from triage.cli.growth_page import proposal_json, proposal_line, proposal_page
from triage.growth.proposal import State

app = typer.Typer(no_args_is_help=True, help="The answer base: what is proposed for it, what it lacks, what is stale.")
NumberArgument = Annotated[int, typer.Argument(metavar="NUMBER", help="Number of the proposal, as `look` shows it.")]


@app.command("look")
def look_command(
    every: Annotated[bool, typer.Option("--all", help="Those already decided as well.")] = False,
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
    by: ByOption = "",
    as_json: JsonOption = False,
) -> None:
    """Go through what was answered since last time, and list what is proposed."""
    from triage.editor import look

    with open_store(store) as queue:
        made = look(queue, open_stages(open_pack(pack), encoder), on=now().date(), by=who(by))
        found = queue.proposals.all(*(State if every else (State.WAITING,)))
    if as_json:
        print_json([proposal_json(proposal) for proposal in found])
        return
    print(f"{counted(len(made), 'proposal')} new or added to; {len(found)} listed.")
    for proposal in found:
        print(proposal_line(proposal))


@app.command("show")
def show_command(
    number: NumberArgument,
    to: Annotated[Path | None, typer.Option("--to", help="Write the answer as a file, to reword it there.")] = None,
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
    as_json: JsonOption = False,
) -> None:
    """One proposal: the difference, where each sentence was said, what is near, what disagrees."""
    from triage.editor import beside
    from triage.growth.file_text import fresh

    with open_store(store) as queue:
        proposal = queue.proposals.get(number)
    if to is not None:
        with naming(to):
            to.write_text(fresh(proposal.after[0]), encoding="utf-8")
        print(f"Written to {to}. When it reads well: triage grow reword {number} --from {to}")
        return
    around = beside(proposal, open_stages(open_pack(pack), encoder))
    if as_json:
        print_json(proposal_json(proposal, around))
    else:
        print(proposal_page(proposal, around))


@app.command("take")
def take_command(number: NumberArgument, pack: PackOption = None, store: StoreOption = None, by: ByOption = "") -> None:
    """Take a proposal into the answer base: its files are written, all or none."""
    from triage.editor import take

    with open_store(store) as queue:
        taken = take(queue, open_pack(pack), number, by=who(by), on=now().date())
    if taken.waits:
        print(f"Agreed. It has hazards ({', '.join(taken.proposal.hazards)}): another person must agree as well.")
        return
    print(f"Taken: {taken.proposal.title}")
    for file in taken.files:
        print(f"  {'written' if file.exists() else 'removed'}: {file}")


@app.command("reword")
def reword_command(
    number: NumberArgument,
    source: Annotated[list[Path], typer.Option("--from", help="The answer as it shall read, as `show --to` wrote it.")],
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Put your own text in the place of what was proposed (several files: several answers)."""
    from triage.cli.growth_page import read_answer
    from triage.editor import reword

    answers = [read_answer(file) for file in source]
    with open_store(store) as queue:
        print(proposal_line(reword(queue, number, *answers, by=who(by))))


@app.command("refuse")
def refuse_command(
    number: NumberArgument,
    why: Annotated[str, typer.Option("--why", help="In a few words.")],
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Leave a proposal out, and say why."""
    from triage.editor import refuse

    with open_store(store) as queue:
        print(f"Refused: {refuse(queue, number, why, by=who(by)).title}")


@app.command("merge")
def merge_command(
    number: NumberArgument,
    into: Annotated[str, typer.Argument(metavar="WITH", help="Another proposal's number, or the id of an answer.")],
    pack: PackOption = None,
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Put a proposal together with another one, or into an answer of the base."""
    from triage.editor_combine import merge_proposals, merge_with_answer

    with open_store(store) as queue:
        loaded = open_pack(pack)
        if into.isdigit():
            made = merge_proposals(queue, loaded, number, int(into), by=who(by))
        else:
            made = merge_with_answer(queue, loaded, number, into, by=who(by))
    print(proposal_line(made))


@app.command("split")
def split_command(
    number: NumberArgument,
    sentences: Annotated[list[int], typer.Option("--sentence", help="Number of a sentence that goes (repeat it).")],
    title: Annotated[str, typer.Option("--title", help="Title of the second answer.")],
    question: Annotated[str, typer.Option("--question", help="Its question.")],
    pack: PackOption = None,
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Make two answers of one proposal."""
    from triage.editor_combine import split

    with open_store(store) as queue:
        made = split(queue, open_pack(pack), number, sentences, title=title, question=question, by=who(by))
    print(proposal_line(made))

"""triage grow effect: what taking a proposal would do to questions that were answered."""

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
    counted,
    open_pack,
    open_stages,
    open_store,
    pack_folder,
    print_json,
)
from triage.cli.growth import NumberArgument
from triage.growth.effect import Effect, Outcome, Turn


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("effect")(effect_command)


def effect_command(
    number: NumberArgument,
    most: Annotated[int, typer.Option("--most", help="Questions to list.")] = 20,
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
    as_json: JsonOption = False,
) -> None:
    """Read answered questions again with the proposal taken: which get better, which worse, which change."""
    from triage.engine import cache_folder
    from triage.rereading import QUESTIONS, Rereader, labelled, resolved_threads

    stages = open_stages(open_pack(pack), encoder)
    with open_store(store) as queue:
        proposal = queue.proposals.get(number)
        resolved = [*resolved_threads(queue, stages, proposal), *labelled(pack_folder(pack) / QUESTIONS)]
    found = Rereader(stages, cache_folder()).effects(proposal, resolved, _said)
    if as_json:
        print_json({"read": found.read, "left": found.left, "changed": [_plain(effect) for effect in found.changed]})
        return
    turns = ", ".join(f"{found.counts.get(turn, 0)} {turn.value}" for turn in Turn)
    print(f"{counted(found.read, 'question')} read again: {turns}.")
    for effect in found.changed[:most]:
        print(f"{effect.turn.value:8} {effect.resolved.title}")
        print(f"         {_shown(effect.before)} -> {_shown(effect.after)}")
    if len(found.changed) > most:
        print(f"and {len(found.changed) - most} more: --most lists them.")


def _plain(effect: Effect) -> dict[str, object]:
    told = {"question": effect.resolved.question.id, "thread": effect.resolved.thread, "turn": effect.turn.value}
    return told | {"before": asdict(effect.before), "after": asdict(effect.after)}


def _shown(outcome: Outcome) -> str:
    return f"{outcome.first or 'no answer'} {outcome.probability:.0%} ({outcome.decision.value.replace('_', ' ')})"


def _said(done: int, of: int) -> None:
    """Every fifty questions a word on stderr."""
    if done % 50 == 0 and done < of:
        print(f"{done} of {of} questions read ...", file=sys.stderr)

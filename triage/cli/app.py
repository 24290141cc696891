"""The commands put together, and every expected error turned into words and an exit code."""

from __future__ import annotations

import sys

import typer

from triage.cli import encoder, mail, packs, queue, reading, threads
from triage.cli.errors import explain

app = typer.Typer(
    name="triage",
    help="Read muddled questions about carts, keep the queue, and draft replies from the shop's own answers.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
reading.add_to(app)
mail.add_to(app)
queue.add_to(app)
threads.add_to(app)
app.add_typer(packs.app, name="pack")
app.add_typer(encoder.app, name="encoder")


def main() -> None:
    """Run the command line."""
    try:
        app()
    except KeyboardInterrupt:
        print("Stopped. What was finished is kept.", file=sys.stderr)
        sys.exit(130)
    except Exception as error:
        code = explain(error)
        if code is None:
            raise
        sys.exit(code)


if __name__ == "__main__":
    main()

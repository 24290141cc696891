"""The command line: options in, one plain function called, its result printed."""

from __future__ import annotations

import sys


def main() -> None:
    """Run the command line and end the process with its exit code."""
    try:
        from triage.cli.app import run  # here, so that Ctrl-C while the program loads ends it quietly too

        code = run()
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        code = 130
    sys.exit(code)


__all__ = ["main"]

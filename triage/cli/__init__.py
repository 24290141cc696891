"""The command line: options in, one plain function called, its result printed."""

from triage.cli.app import main

__all__ = ["main"]

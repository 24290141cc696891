"""Expected errors as one or more plain lines on stderr, with an exit code that means something."""

from __future__ import annotations

import sys

from triage.intake import IntakeError, MalformedMessage
from triage.pack import PackError
from triage.store import MoveRefused, NotFound, StoreBusy, StoreError, StoreFull

PROBLEM = 1  # what was given cannot be used as it is: a pack with errors, a thread that is not there
USAGE = 2  # the command was called wrongly (typer's own)
STORE = 3  # the store cannot be used: not a store, from a newer program
BUSY = 4  # another program is writing; try again
FULL = 5  # no room left on the disk


def explain(error: Exception) -> int | None:
    """Print what was wrong, where and what to do; the exit code, or None for an error nobody expected."""
    if isinstance(error, StoreBusy):
        return _say(error, BUSY)
    if isinstance(error, StoreFull):
        return _say(error, FULL)
    if isinstance(error, NotFound | MoveRefused):
        return _say(error, PROBLEM)
    if isinstance(error, StoreError):
        return _say(error, STORE)
    if isinstance(error, PackError | IntakeError | MalformedMessage | ValueError):
        return _say(error, PROBLEM)
    if isinstance(error, OSError):
        return _say(f"{error.filename or 'file'}: {error.strerror or error}", PROBLEM)
    if isinstance(error, ImportError):
        return _say(error, PROBLEM)
    return None


def _say(error: object, code: int) -> int:
    print(f"triage: {error}", file=sys.stderr)
    return code

"""Expected errors as plain lines on stderr, with an exit code that means something."""

from __future__ import annotations

import errno
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from triage.intake import IntakeError, MalformedMessage
from triage.mailbox import MailboxError
from triage.pack import PackError
from triage.store import StoreBusy, StoreError, StoreFull
from triage.unusable import Unusable

PROBLEM, USAGE, STORE, BUSY, FULL, MAIL, STOPPED = 1, 2, 3, 4, 5, 6, 130
CODES = {  # the one place that says what they mean; 'triage --help' prints it
    0: "done",
    PROBLEM: "what was given cannot be used: a file, a pack, a thread that is not there",
    USAGE: "the command was called wrongly",
    STORE: "the store cannot be used: not a store, damaged, not there, from a newer program",
    BUSY: "another program is writing to the store; try again",
    FULL: "no room left on the disk",
    MAIL: "the mail server cannot be reached, or refuses",
    STOPPED: "stopped with Ctrl-C; what was finished is kept",
}
_NO_ROOM = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}  # disk, quota, limit on file size


class NoStore(Exception):
    """The file named is no store, or is not there."""


_EXPECTED: tuple[tuple[type[Exception], int], ...] = (  # the narrower kind first
    (StoreBusy, BUSY),
    (StoreFull, FULL),
    (NoStore, STORE),
    (StoreError, PROBLEM),
    (PackError, PROBLEM),
    (MailboxError, MAIL),
    (IntakeError, PROBLEM),
    (MalformedMessage, PROBLEM),
    (Unusable, PROBLEM),
    (ImportError, PROBLEM),
)


def explain(error: Exception) -> int | None:
    """Print what was wrong, where and what to do; the exit code, or None for an error nobody expected."""
    if isinstance(error, OSError):
        return _say(*_of_system(error))
    if isinstance(error.__cause__, sqlite3.Error) and type(error) is StoreError:
        return _say(str(error), STORE)  # the database refused, not the program
    for kind, code in _EXPECTED:
        if isinstance(error, kind):
            return _say(str(error), code)
    return None


def _of_system(error: OSError) -> tuple[str, int]:
    where, what = error.filename or "output", error.strerror or str(error)
    if error.errno in _NO_ROOM:
        return f"{where}: {what}. Make room, then run the command again: nothing is half-written.", FULL
    return f"{where}: {what}. Check the name, and that you may read or write it.", PROBLEM


@contextmanager
def naming(path: Path) -> Iterator[None]:
    """Make an error of the system name the file a person gave, not a temporary one or none."""
    try:
        yield
    except OSError as error:
        raise OSError(error.errno, error.strerror or str(error), str(path)) from error


def _say(words: str, code: int) -> int:
    print(f"triage: {words}", file=sys.stderr)
    return code

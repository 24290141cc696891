"""What can go wrong with the store, each with what to do about it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class StoreError(Exception):
    """The store cannot do what was asked; the message says why and what to do."""


class StoreBusy(StoreError):
    """Another program holds the store's lock; nothing was changed."""


class StoreFull(StoreError):
    """The store could not be written: no room left; nothing is half-written."""


class MoveRefused(StoreError):
    """The thread is in a state that does not allow this move."""


class NotFound(StoreError, LookupError):
    """No thread or message of that number or id."""


_BUSY = (
    "The store {path} is in use: another program is writing to it and did not finish in time. "
    "Wait for it (a large take-in, a backup, a database browser), then try again; this change was not made."
)
_FULL = (
    "The store {path} could not be written ({error}): the disk is full or a limit on file size was reached. "
    "Make room, then do the last step again: nothing is half-written, and mail taken in twice is kept once."
)
_CANNOT_OPEN = (
    "The store {path} cannot be opened or written ({error}). Check that the folder exists and that you may write to it."
)
_DAMAGED = (
    "{path} is not a store of this program, or is damaged ({error}). "
    "Choose another file, or put back a copy made earlier."
)
_OTHER = "The store {path} refused the change ({error}); it was not made."

_KINDS: dict[int, tuple[type[StoreError], str]] = {
    sqlite3.SQLITE_BUSY: (StoreBusy, _BUSY),
    sqlite3.SQLITE_LOCKED: (StoreBusy, _BUSY),
    sqlite3.SQLITE_FULL: (StoreFull, _FULL),
    sqlite3.SQLITE_CANTOPEN: (StoreError, _CANNOT_OPEN),
    sqlite3.SQLITE_READONLY: (StoreError, _CANNOT_OPEN),
    sqlite3.SQLITE_PERM: (StoreError, _CANNOT_OPEN),
    sqlite3.SQLITE_IOERR: (StoreError, _CANNOT_OPEN),
    sqlite3.SQLITE_NOTADB: (StoreError, _DAMAGED),
    sqlite3.SQLITE_CORRUPT: (StoreError, _DAMAGED),
}

# A file-size limit or quota shows as a failed write, not as SQLITE_FULL (www.sqlite.org/rescode.html).
_NO_ROOM = {
    sqlite3.SQLITE_IOERR_WRITE, sqlite3.SQLITE_IOERR_SHMSIZE, sqlite3.SQLITE_IOERR_TRUNCATE,
    sqlite3.SQLITE_IOERR_FSYNC,
}  # fmt: skip


@contextmanager
def in_plain_words(path: Path) -> Iterator[None]:
    """Turn SQLite's errors into the store's own, naming the file and the way out."""
    try:
        yield
    except sqlite3.Error as error:
        raise _translated(error, path) from error


def _translated(error: sqlite3.Error, path: Path) -> StoreError:
    code: int = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR)
    if code in _NO_ROOM:
        return StoreFull(_FULL.format(path=path, error=error))
    kind, words = _KINDS.get(code & 0xFF, (StoreError, _OTHER))
    return kind(words.format(path=path, error=error))

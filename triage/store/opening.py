"""Opening the file: checks before the first write, then the settings every connection needs."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from time import monotonic, sleep

from sqlite_utils import Database

from triage.store.errors import StoreError, in_plain_words
from triage.store.migrations import migrate, refuse_strangers

_PAUSE = 0.01  # seconds between two tries


def open_database(path: Path, *, at: str, create: bool, busy_seconds: float) -> Database:
    """The store's database, brought up to date. Raises StoreError (StoreBusy, StoreFull) with what to do."""
    _refuse_what_is_no_file(path, create)
    with in_plain_words(path):
        connection = _connect(path, busy_seconds)
        try:
            return _ready(connection, path, at, busy_seconds)
        except BaseException:
            connection.close()
            raise


def _refuse_what_is_no_file(path: Path, create: bool) -> None:
    if path.is_dir():
        raise StoreError(f"{path} is a folder. Name a file for the store, such as {path / 'queue.db'}.")
    if not create and not path.exists():
        raise StoreError(f"There is no store at {path}. Check the name, or take something in to make one.")


def _connect(path: Path, busy_seconds: float) -> sqlite3.Connection:
    # The page server may open and close a store in different threads of its pool; it never uses one at once.
    return sqlite3.connect(path, timeout=busy_seconds, check_same_thread=False)


def _ready(connection: sqlite3.Connection, path: Path, at: str, busy_seconds: float) -> Database:
    db = Database(connection, execute_plugins=False)
    try:
        with db.atomic():  # one moment: another process may be making the store just now
            refuse_strangers(db)
    except StoreError as refusal:
        raise StoreError(f"{path} {refusal}.") from None
    db.execute("pragma foreign_keys = on")
    _enable_wal(db, busy_seconds)
    db.register_function(casefolded, deterministic=True)
    migrate(db, at)
    return db


def _enable_wal(db: Database, busy_seconds: float) -> None:
    """Switch to write-ahead logging; SQLite itself does not always wait for the lock this needs."""
    give_up = monotonic() + busy_seconds
    while True:
        try:
            return db.enable_wal()
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or monotonic() > give_up:
                raise
            sleep(_PAUSE)


def casefolded(text: str) -> str:
    """For SQL: lower case in every script; SQLite's own lower() knows only A to Z."""
    return text.casefold()

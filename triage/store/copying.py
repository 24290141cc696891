"""A copy of the whole store, and a store put back from a copy: both whole, both looked through before they count."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlite_utils import Database

from triage.store.errors import StoreError, in_plain_words
from triage.store.migrations import refuse_strangers
from triage.store.schema import APPLICATION_ID


@dataclass(frozen=True, slots=True)
class Copied:
    """What a copy holds."""

    threads: int
    messages: int
    size: int  # bytes


def back_up(store: Path, to: Path) -> Copied:
    """Copy the store into a new file while others go on writing (SQLite's online backup), and look the copy through.

    Raises StoreError, and leaves no file, when `to` is there already or the copy is not sound.
    """
    if to.exists():
        raise StoreError(f"{to} is there already, and a copy never takes the place of one. Give another name.")
    part = to.with_name(f".{to.name}.part")
    try:
        with in_plain_words(store), _opened(store) as source, closing(sqlite3.connect(part)) as target:
            source.backup(target)
            target.execute("pragma journal_mode = delete")  # one file, without a second beside it
        copied = looked_through(part)
        _place(part, to)
    finally:
        part.unlink(missing_ok=True)
    return copied


def _place(part: Path, to: Path) -> None:
    """Give the finished copy its name, unless somebody took it meanwhile."""
    with part.open("rb") as file:
        os.fsync(file.fileno())
    try:
        os.link(part, to)
    except FileExistsError:
        raise StoreError(f"{to} came into being meanwhile, and was left alone. Give another name.") from None
    except OSError:  # a disk without links
        part.rename(to)


def looked_through(copy: Path) -> Copied:
    """What a copy holds. Raises StoreError when it is not a store of this program, not readable by it, or damaged."""
    with in_plain_words(copy), _opened(copy) as connection:
        db = Database(connection, execute_plugins=False)
        try:
            refuse_strangers(db)
        except StoreError as refusal:
            raise StoreError(f"{copy} {refusal}.") from None
        if db.execute("pragma application_id").fetchone()[0] != APPLICATION_ID:
            raise StoreError(f"{copy} is empty, and no copy of a store.")
        _refuse_damage(db, copy)
        threads = db.execute("select count(*) from threads where merged_into is null").fetchone()[0]
        messages = db.execute("select count(*) from messages").fetchone()[0]
    return Copied(threads, messages, copy.stat().st_size)


def _refuse_damage(db: Database, copy: Path) -> None:
    found = db.execute("pragma integrity_check").fetchall()
    orphans = db.execute("pragma foreign_key_check").fetchall()
    if found != [("ok",)] or orphans:
        what = found[0][0] if found != [("ok",)] else f"{len(orphans)} rows without what they belong to"
        raise StoreError(f"{copy} is damaged ({what}). Take another copy; nothing was changed.")


def put_back(copy: Path, store: Path, at: datetime) -> tuple[Copied, Path | None]:
    """Make the store what the copy is; what it held before is kept beside it first (its name is returned).

    The pages are written in one transaction, so that a stop leaves the store as it was, and programs that have it
    open see the change; a damaged store is moved aside as it is. Raises StoreError, before anything is changed, for a
    copy that is not sound.
    """
    copied, aside = looked_through(copy), None
    if store.exists():
        aside = store.with_name(f"{store.name}.before-{at:%Y%m%d-%H%M%S}")
        try:
            back_up(store, aside)
        except StoreError as error:
            if not _is_damage(error):
                raise
            _move(store, aside)
    with in_plain_words(store), _opened(copy) as source, closing(sqlite3.connect(store, timeout=30)) as target:
        source.backup(target)
        target.execute("pragma journal_mode = wal")
    looked_through(store)
    return copied, aside


def _is_damage(error: StoreError) -> bool:
    code = getattr(error.__cause__, "sqlite_errorcode", 0) & 0xFF
    return code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB) or " is damaged (" in str(error)


def _move(store: Path, aside: Path) -> None:
    """The file and its log under another name, as they are: no page of them can be relied on."""
    if aside.exists():
        raise StoreError(f"{aside} is there already. Wait a second, then try again.")
    for end in ("", "-wal"):
        if (there := store.with_name(store.name + end)).exists():
            there.rename(aside.with_name(aside.name + end))
    store.with_name(store.name + "-shm").unlink(missing_ok=True)


@contextmanager
def _opened(path: Path) -> Iterator[sqlite3.Connection]:
    if not path.is_file():
        raise StoreError(f"There is no file {path}. Check the name.")
    with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True, timeout=30)) as connection:
        yield connection

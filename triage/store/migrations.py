"""Bringing a file up to date: what ran, what is pending, and which files are not ours to touch."""

from __future__ import annotations

from sqlite_utils import Database

from triage.store.errors import StoreError
from triage.store.schema import APPLICATION_ID, MIGRATIONS, Migration
from triage.store.transactions import immediate


def applied(db: Database) -> list[str]:
    """Names of the steps that ran, in order. Writes nothing."""
    if not db.execute("select 1 from sqlite_master where type = 'table' and name = 'migrations'").fetchone():
        return []
    return [name for (name,) in db.execute("select name from migrations order by rowid")]


def pending(db: Database, steps: tuple[Migration, ...] = MIGRATIONS) -> list[Migration]:
    """The steps still to run, in order. Writes nothing."""
    done = set(applied(db))
    return [step for step in steps if step.__name__ not in done]


def refuse_strangers(db: Database, steps: tuple[Migration, ...] = MIGRATIONS) -> None:
    """Raise StoreError for a database of another program or of a newer version of this. Writes nothing."""
    mark = db.execute("pragma application_id").fetchone()[0]
    tables = db.execute("select count(*) from sqlite_master").fetchone()[0]
    if mark != APPLICATION_ID and (mark or tables):
        raise StoreError("is a database of another program, not a store. Choose another file")
    newer = [name for name in applied(db) if name not in {step.__name__ for step in steps}]
    if newer:
        raise StoreError(
            f"was written by a newer version of this program (it has {', '.join(newer)}; this version "
            f"knows up to {steps[-1].__name__}). Update the program, or use a store made with this version"
        )


def migrate(db: Database, at: str, steps: tuple[Migration, ...] = MIGRATIONS) -> list[str]:
    """Run what is pending, each step in one transaction with the record that it ran; return the names run."""
    return [step.__name__ for step in pending(db, steps) if _run(db, step, at)]


def _run(db: Database, step: Migration, at: str) -> bool:
    with immediate(db):
        if step.__name__ in applied(db):  # another process was quicker
            return False
        step(db)
        db.execute("insert into migrations (name, applied_at) values (?, ?)", [step.__name__, at])
    return True

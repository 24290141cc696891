"""Small named values kept with the queue."""

from __future__ import annotations

from sqlite_utils import Database

from triage.store.change import Change
from triage.store.codec import encodable
from triage.store.values import What


def get(db: Database, name: str, default: str) -> str:
    """The value of that name, else `default`."""
    row = db.execute("select value from settings where name = ?", [name]).fetchone()
    return str(row[0]) if row else default


def put(change: Change, name: str, value: str) -> None:
    """Keep a value; writing the value it has changes nothing."""
    before = get(change.db, name, "")
    if before == value:
        return
    sql = "insert into settings values (?, ?) on conflict (name) do update set value = excluded.value"
    change.db.execute(sql, [name, encodable(value)])
    change.record(None, What.SETTING, before={name: before}, after={name: value})

"""One change to the store: whose hand, at what time, and the few ways to write a row."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sqlite_utils import Database

from triage.store.codec import encodable, to_json
from triage.store.values import What

Cell = str | int | bytes | None


@dataclass(frozen=True, slots=True)
class Change:
    """An open transaction on `db`, made by the person or program `by` at the moment `at` (UTC text)."""

    db: Database
    by: str
    at: str

    def insert(self, table: str, row: Mapping[str, Cell]) -> int:
        """Insert a row and return its row number."""
        marks = ", ".join("?" * len(row))
        sql = f"insert into {table} ({', '.join(row)}) values ({marks})"
        return self.db.execute(sql, [encodable(cell) for cell in row.values()]).lastrowid or 0

    def signed(self, table: str, row: Mapping[str, Cell]) -> int:
        """Insert a row together with who made it and when."""
        return self.insert(table, {**row, "by": self.by, "at": self.at})

    def update_thread(self, thread: int, columns: Mapping[str, Cell]) -> None:
        """Set columns of one thread."""
        sets = ", ".join(f"{name} = ?" for name in columns)
        cells = [encodable(cell) for cell in columns.values()]
        self.db.execute(f"update threads set {sets} where id = ?", [*cells, thread])

    def record(
        self,
        thread: int | None,
        what: What,
        *,
        before: Mapping[str, object] | None = None,
        after: Mapping[str, object] | None = None,
        undoes: int | None = None,
    ) -> int:
        """Add an entry to the history; return its number."""
        entry: dict[str, Cell] = {
            "thread": thread, "what": what.value, "before": to_json(before or {}),
            "after": to_json(after or {}), "undoes": undoes,
        }  # fmt: skip
        return self.signed("history", entry)

"""Reading a store's file from outside, with SQLite alone."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any


def ask(path: Path, sql: str, *parameters: object) -> list[Any]:
    """The rows of a query."""
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(sql, parameters).fetchall()


def dump(path: Path) -> str:
    """Everything in the file as SQL text."""
    with closing(sqlite3.connect(path)) as connection:
        return "\n".join(connection.iterdump())


def assert_whole(path: Path) -> None:
    """No message without its raw bytes, its thread, its history, its place in the search; no broken links."""
    assert ask(path, "pragma integrity_check") == [("ok",)]
    assert ask(path, "pragma foreign_key_check") == []
    messages = ask(path, "select count(*) from messages")[0][0]
    assert ask(path, "select count(*) from raw") == [(messages,)]
    assert ask(path, "select count(*) from history where what = 'arrived'") == [(messages,)]
    assert ask(path, "select coalesce(sum(message_count), 0) from threads where merged_into is null") == [(messages,)]
    with closing(sqlite3.connect(path)) as connection:  # raises where index and table disagree
        connection.execute("insert into messages_fts (messages_fts, rank) values ('integrity-check', 1)")

"""Forgetting a person: every thread they wrote in, out of every table, out of the search index, out of the file.

The history refuses changes by triggers. Here alone, and only inside the one transaction that removes the threads, the
triggers are lifted: what the history says of these threads is emptied, and moment, hand and kind of each entry stay.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from sqlite_utils import Database

from triage.store.change import Change
from triage.store.codec import to_json, unpacked
from triage.store.errors import NotFound, StoreError
from triage.store.values import What

_TRIGGERS = "select name, sql from sqlite_master where type = 'trigger' and tbl_name = 'history'"
_BELONGING = """
    with wrote as (
        select thread from messages where asker in (select value from json_each(:people))
        union select id from threads where asker in (select value from json_each(:people))
    ), whole as (select coalesce(merged_into, id) as id from threads where id in (select thread from wrote))
    select id from threads where coalesce(merged_into, id) in (select id from whole) order by id
"""


_NOBODYS = """
    delete from people where id not in (select asker from threads) and id not in (select asker from messages)
"""


@dataclass(frozen=True, slots=True)
class Forgotten:
    """What was removed, or would be."""

    person: str  # as the store knew them
    threads: tuple[int, ...]
    rows: dict[str, int] = field(default_factory=dict)  # by table
    others: int = 0  # messages of other people in the same threads, which go with them
    mentions: tuple[int, ...] = ()  # threads that stay, in which somebody else names the address


def find_person(db: Database, who: str) -> tuple[list[int], str]:
    """The rows of one person, by mail address, else by name ("Name <>" for the one without an address).

    Raises NotFound for nobody, StoreError for several.
    """
    bare = who.removesuffix("<>").strip()
    rows = db.execute("select id, name, email from people where casefolded(email) = ?", [who.casefold()]).fetchall()
    if not rows:
        nameless = " and email = ''" if who.endswith("<>") else ""
        sql = f"select id, name, email from people where casefolded(name) = ?{nameless}"
        rows = db.execute(sql, [bare.casefold()]).fetchall()
    if not rows:
        raise NotFound(f"Nobody of the name or address '{who}' is in the store.")
    shown = [f"{name} <{email}>".strip() for _, name, email in rows]
    if len(rows) > 1:
        listed = "; ".join(shown)
        raise StoreError(f"Several people are called '{who}': {listed}. Give the address; '{bare} <>' for none.")
    return [id for id, _, _ in rows], shown[0]


def forget(change: Change, who: str) -> Forgotten:
    """Remove the person and everything of the threads they wrote in. The caller then empties the file of the traces."""
    db, found = change.db, look(change.db, who)
    people, _ = find_person(db, who)
    threads, rejected = to_json(found.threads), to_json(_rejected(db, who))
    db.execute("pragma defer_foreign_keys = on")  # rows refer to each other; all must fit once more at the end
    triggers = db.execute(_TRIGGERS).fetchall()
    for name, _ in triggers:
        db.execute(f"drop trigger {name}")
    _empty_history(db, threads, rejected)
    _delete_belongings(db, threads)
    db.execute(f"delete from threads where {_among('id')}", [threads])
    db.execute(f"delete from rejected where {_among('digest')}", [rejected])
    db.execute(f"delete from people where {_among('id')}", [to_json(people)])
    db.execute(_NOBODYS)
    db.execute("insert into messages_fts (messages_fts) values ('rebuild')")
    for _, sql in triggers:
        db.execute(sql)
    change.record(None, What.FORGOTTEN, after={"threads": found.threads, "rows": found.rows})
    return found


def _among(column: str) -> str:
    return f"{column} in (select value from json_each(?))"


def _delete_belongings(db: Database, threads: str) -> None:
    """The rows of every table that refers to these threads or to their messages."""
    for table, column in _tables_of(db, "messages"):
        of_threads = f"select row from messages where {_among('thread')}"
        db.execute(f"delete from {table} where {column} in ({of_threads})", [threads])
    for table, column in _tables_of(db, "threads"):
        if table not in ("history", "threads"):
            db.execute(f"delete from {table} where {_among(column)}", [threads])


def _empty_history(db: Database, threads: str, rejected: str) -> None:
    """What the history tells of these threads, and of mail set aside, is emptied; that something happened stays."""
    emptied = "update history set thread = null, before = '{}', after = '{}' where "
    db.execute(emptied + _among("thread"), [threads])
    sources = f"select source from rejected where {_among('digest')}"
    sql = f"{emptied} what = ? and json_extract(after, '$.source') in ({sources})"
    db.execute(sql, [What.REJECTED.value, rejected])


def look(db: Database, who: str) -> Forgotten:
    """What would be removed; nothing is changed."""
    people, shown = find_person(db, who)
    threads = tuple(id for (id,) in db.execute(_BELONGING, {"people": to_json(people)}).fetchall())
    rows: dict[str, int] = {"threads": len(threads), "rejected": len(_rejected(db, who))}
    for table, column in _tables_of(db, "threads"):
        if table != "threads":
            rows[table] = _count(db, f"{table} where {_among(column)}", threads)
    others = _count(db, f"messages where {_among('thread')} and {_among('asker')} is false", threads, people)
    return Forgotten(shown, threads, {table: n for table, n in rows.items() if n}, others, _mentions(db, who, threads))


def _count(db: Database, what: str, *lists: Sequence[int]) -> int:
    return int(db.execute(f"select count(*) from {what}", [to_json(one) for one in lists]).fetchone()[0])


def _tables_of(db: Database, parent: str) -> list[tuple[str, str]]:
    """Every table with a column that refers to `parent`, so that a table added later is not overlooked."""
    tables = [table for (table,) in db.execute("select name from sqlite_master where type = 'table'").fetchall()]
    referring = [
        (table, str(column))
        for table in tables
        for _, _, to, column, *_ in db.execute(f"pragma foreign_key_list('{table}')").fetchall()
        if to == parent
    ]
    return sorted(referring, key=lambda pair: pair[0] == "messages")  # last: others are found by them


def _rejected(db: Database, who: str) -> list[str]:
    """Mail set aside as unreadable that holds the address (or the name)."""
    sign = who.removesuffix("<>").strip().casefold()
    rows = db.execute("select digest, bytes, source, reason from rejected").fetchall()
    return [
        digest
        for digest, raw, source, reason in rows
        if sign in f"{unpacked(raw).decode('utf-8', 'replace')} {source} {reason}".casefold()
    ]


def _mentions(db: Database, who: str, threads: Sequence[int]) -> tuple[int, ...]:
    """Threads that stay in which somebody else names the address or name: for a person to look at."""
    sql = f"""select distinct thread from messages where not {_among("thread")}
              and instr(casefolded(text || quoted || forwarded || signature || headers || subject), ?)
              order by thread"""
    sign = who.removesuffix("<>").strip().casefold()
    return tuple(thread for (thread,) in db.execute(sql, [to_json(threads), sign]).fetchall())


def leave_no_trace(db: Database) -> None:
    """Write the file anew without what was deleted: free pages, the search index's leavings, the write-ahead log."""
    db.execute("vacuum")
    db.execute("pragma wal_checkpoint(truncate)")

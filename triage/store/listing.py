"""The queue as rows: filtered, sorted by danger and waiting time, searched, counted."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from sqlite_utils import Database

from triage.model import Address, Decision
from triage.store.codec import encodable, moment, to_json, value_text
from triage.store.states import ThreadState
from triage.store.values import Filters, QueueRow, Summary

_ROW = """
    select t.id, p.name, p.email, t.subject, t.state, t.danger, t.decision, t.waiting_since,
           t.message_count, t.vehicle, t.wrong, t.missing
"""
_FROM = " from threads t join people p on p.id = t.asker "
_PAGE = "limit :limit offset :offset"

# Each thread once, by its best message.
_BEST = """
    with hits as (
        select m.thread, m.row, rank from messages_fts join messages m on m.row = messages_fts.rowid
        where messages_fts match :words
    ), best as (select thread, row, min(rank) as rank from hits group by thread)
"""

# "-1" lets FTS5 pick the column the words stand in; char(2) and char(3) are FOUND_MARKS.
_FOUND = """
    select snippet(messages_fts, -1, char(2), char(3), '…', 12) from messages_fts
    where messages_fts match ? and rowid = ?
"""

Parameters = dict[str, object]


def rows(db: Database, filters: Filters) -> list[QueueRow]:
    """The rows all filters let through, the most dangerous first, then who has waited longest."""
    where, parameters = _conditions(filters)
    sql = f"{_ROW} {_FROM} where {where} order by t.danger, t.waiting_since, t.id {_PAGE}"
    return [_row(*row) for row in db.execute(sql, parameters)]


def search(db: Database, words: str, filters: Filters) -> list[QueueRow]:
    """Threads with a message holding every word, best first; the last word may be unfinished."""
    query = quoted(words)
    if not query:
        return []
    where, parameters = _conditions(filters)
    sql = f"""{_BEST} {_ROW}, best.row {_FROM} join best on best.thread = t.id
              where {where} order by best.rank, t.id {_PAGE}"""
    hits = db.execute(sql, {**parameters, "words": query}).fetchall()
    return [replace(_row(*row), found=db.execute(_FOUND, [query, best]).fetchone()[0]) for *row, best in hits]


def counts(db: Database) -> dict[ThreadState, int]:
    """How many threads stand in each state; every state is named."""
    counted: dict[str, int] = dict(
        db.execute("select state, count(*) from threads where merged_into is null group by state").fetchall()
    )
    return {state: counted.get(state.value, 0) for state in ThreadState}


def quoted(words: str) -> str:
    """What a person typed as an FTS5 query: every word a string, so that no sign in it is an operator.

    >>> quoted('48V -charger "18x8.50-8')
    '"48V" "-charger" "18x8.50-8"*'
    """
    plain = encodable(words).replace('"', " ").replace("\0", " ")
    kept = [f'"{word}"' for word in plain.split() if any(map(str.isalnum, word))]
    return " ".join(kept) + ("*" if kept else "")


def _conditions(filters: Filters) -> tuple[str, Parameters]:
    where = ["t.merged_into is null", "t.state in (select value from json_each(:states))"]
    parameters: Parameters = {
        "states": to_json([state.value for state in filters.states]),
        "limit": filters.limit, "offset": filters.offset,
    }  # fmt: skip
    for sql, given in (*_plain_conditions(filters), *_fact_conditions(filters)):
        where.append(sql)
        parameters |= given
    return " and ".join(where), parameters


def _plain_conditions(filters: Filters) -> list[tuple[str, Parameters]]:
    found: list[tuple[str, Parameters]] = []
    if filters.decision is not None:
        found.append(("t.decision = :decision", {"decision": filters.decision.value}))
    if filters.danger_up_to is not None:
        found.append(("t.danger <= :danger", {"danger": filters.danger_up_to}))
    if filters.asker:
        sql = "instr(casefolded(p.name || ' ' || p.email), :asker)"
        found.append((sql, {"asker": encodable(filters.asker.casefold())}))
    if filters.missing:
        sql = "exists (select 1 from json_each(t.missing) where value = :missing)"
        found.append((sql, {"missing": encodable(filters.missing)}))
    return found


def _fact_conditions(filters: Filters) -> list[tuple[str, Parameters]]:
    sql = "exists (select 1 from facts f where f.thread = t.id and f.name = :name{n} and f.value = :value{n})"
    return [
        (sql.format(n=n), {f"name{n}": encodable(name), f"value{n}": encodable(value_text(value))})
        for n, (name, value) in enumerate(filters.facts.items())
    ]


def _row(*cells: Any) -> QueueRow:
    thread, name, email, subject, state, danger, decision, since, messages, *line = cells
    vehicle, wrong, missing = line
    return QueueRow(
        thread=thread,
        asker=Address(email=email, name=name),
        subject=subject,
        state=ThreadState(state),
        danger=danger,
        decision=Decision(decision) if decision else None,
        waiting_since=moment(since),
        messages=messages,
        summary=Summary(vehicle, wrong, tuple(json.loads(missing))),
    )

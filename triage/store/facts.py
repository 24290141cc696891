"""Facts set by a person, and the look-up table of present facts that the filters use."""

from __future__ import annotations

import json

from sqlite_utils import Database

from triage.contract import fact_from_json, fact_to_json
from triage.model import Fact
from triage.store.change import Change
from triage.store.codec import to_json, value_text
from triage.store.errors import StoreError
from triage.store.values import What

# The rows of the newest round for each vehicle and name; a null fact withdraws.
_STANDING = """
    select vehicle, name, fact from facts_set f where thread = ? and round =
        (select max(round) from facts_set g
         where g.thread = f.thread and g.vehicle = f.vehicle and g.name = f.name)
    order by vehicle, name, id
"""


def set_facts(change: Change, thread: int, facts: tuple[Fact, ...]) -> None:
    """Put these facts in place of what a person set before under the same vehicle and name."""
    if not facts:
        raise StoreError(f"No fact was given for thread {thread}. Give at least one, or withdraw one.")
    texts = [fact_to_json(fact) for fact in facts]
    before = [fact_to_json(f) for f in standing_facts(change.db, thread) if _key(f) in set(map(_key, facts))]
    entry = change.record(thread, What.FACT, before={"facts": before}, after={"facts": texts})
    for fact, text in zip(facts, texts, strict=True):
        _write(change, thread, entry, _key(fact), to_json(text))
    refresh(change.db, thread)


def withdraw_fact(change: Change, thread: int, name: str, vehicle: int) -> None:
    """Go back to what was read for this fact; StoreError where no person had set it."""
    before = [fact_to_json(f) for f in standing_facts(change.db, thread) if _key(f) == (vehicle, name)]
    if not before:
        raise StoreError(f"Nobody set the fact {name} of vehicle {vehicle} in thread {thread}.")
    entry = change.record(thread, What.FACT_WITHDRAWN, before={"facts": before})
    _write(change, thread, entry, (vehicle, name), None)
    refresh(change.db, thread)


def standing_facts(db: Database, thread: int) -> tuple[Fact, ...]:
    """What a person set and did not withdraw."""
    rows = db.execute(_STANDING, [thread]).fetchall()
    return tuple(fact_from_json(json.loads(fact)) for _, _, fact in rows if fact is not None)


def refresh(db: Database, thread: int) -> None:
    """Write the look-up rows anew: what was read and holds, overridden by what a person set."""
    set_by_person = standing_facts(db, thread)
    overridden = set(map(_key, set_by_person))
    present = [f for f in _read_facts(db, thread) if _key(f) not in overridden] + list(set_by_person)
    rows = {(thread, f.vehicle, f.name, value_text(f.value)) for f in present if f.standing.holds}
    db.execute("delete from facts where thread = ?", [thread])
    db.conn.executemany("insert into facts (thread, vehicle, name, value) values (?, ?, ?, ?)", sorted(rows))


def _read_facts(db: Database, thread: int) -> list[Fact]:
    rows = db.execute(
        """select json_extract(reading, '$.facts') from readings
           where thread = ? and round = (select max(round) from readings where thread = ?)""",
        [thread, thread],
    ).fetchall()
    return [fact_from_json(record) for (facts,) in rows for record in json.loads(facts)]


def _key(fact: Fact) -> tuple[int, str]:
    return fact.vehicle, fact.name


def _write(change: Change, thread: int, entry: int, key: tuple[int, str], fact: str | None) -> None:
    vehicle, name = key
    change.signed("facts_set", {"thread": thread, "round": entry, "vehicle": vehicle, "name": name, "fact": fact})

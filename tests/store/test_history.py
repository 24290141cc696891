"""History says who did what, when; nobody can change it afterwards."""

import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from triage.model import Fact
from triage.store import Store, What

from .mails import START, mail


def test_every_change_is_in_the_history_with_its_hand_and_time(store: Store) -> None:
    store.take_in(mail(), by="intake")
    store.set_fact(1, Fact("year", 2008), by="Wyn")
    store.set_fact(1, Fact("year", 2009), by="Odd")
    store.note(1, "rang, no answer", by="Odd")
    store.record_reply(1, "Check the pack.", by="Wyn")
    entries = store.history(1)
    assert [(e.what, e.by) for e in entries] == [
        (What.ARRIVED, "intake"), (What.FACT, "Wyn"), (What.FACT, "Odd"), (What.NOTE, "Odd"),
        (What.REPLY, "Wyn"), (What.STATE, "Wyn"),
    ]  # fmt: skip
    assert [e.at for e in entries] == sorted(e.at for e in entries)
    assert entries[0].at == START + timedelta(days=1, minutes=1)  # the clock given, not the computer's


def test_history_keeps_the_value_before_and_after(store: Store) -> None:
    store.take_in(mail(), by="intake")
    store.set_fact(1, Fact("year", 2008), by="Wyn")
    store.set_fact(1, Fact("year", 2009), by="Odd")
    store.settle(1, by="Wyn", outcome="new cable")
    *_, fact, state = store.history(1)
    assert [[f["value"] for f in side["facts"]] for side in (fact.before, fact.after)] == [[2008], [2009]]  # type: ignore[attr-defined]
    assert (state.before["state"], state.after["state"], state.after["why"]) == (
        "new",
        "settled",
        "new cable",
    )


@pytest.mark.parametrize(
    "sql",
    [
        "update history set by = 'nobody'",
        "delete from history",
        "insert or replace into history (id, at, by, what, before, after) values (1, '', '', '', '', '')",
    ],
)
def test_history_cannot_be_changed_even_from_outside(store: Store, path: Path, sql: str) -> None:
    store.take_in(mail(), by="intake")
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("pragma recursive_triggers = on")
        with pytest.raises(sqlite3.IntegrityError, match="append-only"):
            connection.execute(sql)


def test_a_setting_is_kept_and_its_change_recorded(store: Store) -> None:
    assert store.setting("last mail", "none") == "none"
    store.set_setting("last mail", "17", by="mailbox")
    store.set_setting("last mail", "17", by="mailbox")
    assert store.setting("last mail") == "17"
    assert [(e.before, e.after) for e in store.history(None)] == [({"last mail": ""}, {"last mail": "17"})]

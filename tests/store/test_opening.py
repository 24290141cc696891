"""Opening a store: what is made, brought up to date, or refused, and in which words."""

import sqlite3
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from threading import Barrier

import pytest
from sqlite_utils import Database

from triage.store import NotFound, Store, StoreBusy, StoreError
from triage.store.migrations import applied, migrate, pending
from triage.store.opening import open_database
from triage.store.schema import MIGRATIONS, Migration

from .looking import ask, dump
from .mails import Clock, mail

AT = "2026-11-25T00:00:00.000000+00:00"


@pytest.fixture
def db(path: Path) -> Iterator[Database]:
    with closing(sqlite3.connect(path)) as connection:
        yield Database(connection, execute_plugins=False)


def test_steps_are_named_and_numbered_in_order() -> None:
    assert [step.__name__[:4] for step in MIGRATIONS] == [f"m{n:03}" for n in range(1, len(MIGRATIONS) + 1)]
    assert all(step.__doc__ for step in MIGRATIONS)


def test_asking_what_is_pending_writes_nothing(db: Database, path: Path) -> None:
    assert pending(db) == list(MIGRATIONS)
    assert path.stat().st_size == 0
    migrate(db, AT, MIGRATIONS[:3])
    before = path.read_bytes()
    assert pending(db) == list(MIGRATIONS[3:])
    assert path.read_bytes() == before


@pytest.mark.parametrize("done", range(len(MIGRATIONS)))
def test_an_older_store_is_brought_up_to_date(tmp_path: Path, done: int) -> None:
    older, fresh = tmp_path / "older.db", tmp_path / "fresh.db"
    with closing(sqlite3.connect(older)) as connection:
        migrate(Database(connection, execute_plugins=False), AT, MIGRATIONS[:done])
    for path in (older, fresh):
        with Store.open(path, now=Clock()) as store:
            store.take_in(mail(), by="intake")
    schema = "select type, name, sql from sqlite_master order by name"
    assert ask(older, schema) == ask(fresh, schema)


def test_a_step_that_fails_leaves_nothing_and_stays_pending(db: Database) -> None:
    def m900_breaks(db: Database) -> None:
        db.execute("create table half (x)")
        db.execute("insert into nowhere values (1)")

    steps: tuple[Migration, ...] = (*MIGRATIONS, m900_breaks)
    with pytest.raises(sqlite3.OperationalError, match="nowhere"):
        migrate(db, AT, steps)
    assert applied(db) == [step.__name__ for step in MIGRATIONS]
    assert "half" not in db.table_names()
    assert pending(db, steps) == [m900_breaks]


def test_migrating_twice_runs_each_step_once(db: Database) -> None:
    assert len(migrate(db, AT)) == len(MIGRATIONS)
    assert migrate(db, AT) == []


def test_many_opening_a_new_store_at_once_make_it_once(tmp_path: Path) -> None:
    def open_one(number: int) -> None:
        together.wait(timeout=20)
        Store.open(tmp_path / f"{number // 8}.db", now=Clock()).close()

    together = Barrier(8)
    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(open_one, range(64))) == [None] * 64
    for number in range(8):
        assert ask(tmp_path / f"{number}.db", "select count(*) from migrations") == [(len(MIGRATIONS),)]


def test_a_store_of_a_newer_program_is_refused_and_left_alone(path: Path) -> None:
    Store.open(path, now=Clock()).close()
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("insert into migrations values ('m999_later', ?)", [AT])
    before = dump(path)
    with pytest.raises(StoreError, match=r"newer version.*m999_later.*Update the program"):
        Store.open(path, now=Clock())
    assert dump(path) == before


def test_another_programs_database_is_refused_and_left_alone(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("create table recipes (name)")
    before = path.read_bytes()
    with pytest.raises(StoreError, match="database of another program"):
        Store.open(path, now=Clock())
    assert path.read_bytes() == before


def test_a_file_that_is_no_database_is_refused_and_left_alone(path: Path) -> None:
    path.write_text("From ida@mail.example Mon Nov  9 08:00:00 2026\n" * 50)
    before = path.read_bytes()
    with pytest.raises(StoreError, match="not a store of this program"):
        Store.open(path, now=Clock())
    assert path.read_bytes() == before


def test_a_folder_and_a_missing_file_are_told_apart(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="is a folder"):
        Store.open(tmp_path, now=Clock())
    with pytest.raises(StoreError, match="no store at"):
        Store.open(tmp_path / "none.db", now=Clock(), create=False)
    assert not (tmp_path / "none.db").exists()
    with pytest.raises(StoreError, match="Check that the folder exists"):
        Store.open(tmp_path / "none" / "queue.db", now=Clock())


def test_a_damaged_store_is_an_error_in_plain_words(path: Path) -> None:
    with Store.open(path, now=Clock()) as store:
        store.take_in(mail(), by="intake")
    whole = path.read_bytes()
    path.write_bytes(whole[:4096] + b"\xff" * (len(whole) - 4096))
    with pytest.raises(StoreError, match="damaged"), Store.open(path, now=Clock()) as store:
        store.queue()
        store.thread(1)


def test_a_locked_store_says_what_and_what_to_do(store: Store, path: Path) -> None:
    with closing(sqlite3.connect(path)) as other:
        other.execute("begin immediate")
        with Store.open(path, now=Clock(), busy_seconds=0.05) as second:
            with pytest.raises(StoreBusy, match=r"queue\.db is in use.*Wait for it"):
                second.take_in(mail(), by="intake")
            assert second.queue() == []  # looking is not held up
        other.rollback()
    assert store.take_in(mail(), by="intake").thread == 1


def test_every_connection_has_wal_foreign_keys_and_patience(path: Path) -> None:
    opened = open_database(path, at=AT, create=True, busy_seconds=1.5)
    with closing(opened.conn):
        found = [
            opened.execute(f"pragma {name}").fetchone()[0] for name in ("journal_mode", "foreign_keys", "busy_timeout")
        ]
    assert found == ["wal", 1, 1500]


@pytest.mark.parametrize("number", [0, 99, -1])
def test_an_unknown_number_is_named(store: Store, number: int) -> None:
    for look in (store.thread, store.history, store.readings):
        with pytest.raises(NotFound, match=f"no thread {number}"):
            look(number)
    with pytest.raises(NotFound, match="no message x"):
        store.raw("x")

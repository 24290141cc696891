"""Damage to the store, the disk and the clock: what is said, and that nothing is lost. The table is docs/faults.md."""

from __future__ import annotations

import errno
import os
import sqlite3
import subprocess
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from triage.cli.app import run
from triage.model import Address, Draft, Message, Question, Sentence
from triage.store import Store, StoreError, back_up, put_back

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


def mail(number: int, text: str = "It clicks.", sent: datetime = NOON) -> Message:
    words = f"{text} ({number})"
    return Message(
        f"m{number}@mail.example", "mail", Address(f"a{number}@mail.example", f"Asker {number}"), "Cart", sent,
        words, raw=words.encode(),
    )  # fmt: skip


def fill(path: Path, count: int = 60) -> None:
    with Store.open(path, now=lambda: NOON) as store, store.batch():
        for number in range(count):
            told = mail(number, "It clicks but will not move, and the charger hums. " * 8)
            store.take_in(told, by="test", questions=[Question(f"m{number}@mail.example#1", told.text)])


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "queue.db"
    fill(path)
    monkeypatch.setenv("TRIAGE_STORE", str(path))
    return path


# A damaged page


def test_a_damaged_page_is_noticed_and_the_rest_can_be_had_from_a_copy(store: Path, tmp_path: Path, capsys) -> None:
    copy = tmp_path / "copy.db"
    back_up(store, copy)
    page = _page_of(store, "messages")
    whole = store.read_bytes()
    store.write_bytes(whole[: page * 4096] + os.urandom(4096) + whole[(page + 1) * 4096 :])
    assert run(["show", "1"]) == 3 or run(["store", "export", "--to", str(tmp_path / "all.jsonl")]) == 3
    said = capsys.readouterr().err
    assert "damaged" in said and "put back a copy" in said and str(store) in said
    spoilt = store.read_bytes()
    _, aside = put_back(copy, store, NOON)
    assert aside is not None and aside.read_bytes() == spoilt
    with Store.open(store, now=lambda: NOON) as mended:
        assert len(list(mended.each_thread())) == 60


def _page_of(path: Path, table: str) -> int:
    """Number (from 0) of the first page of a table's content."""
    with closing(sqlite3.connect(path)) as db:
        db.execute("pragma wal_checkpoint(truncate)")
        (root,) = db.execute("select rootpage from sqlite_master where name = ?", [table]).fetchone()
    return int(root) - 1


@pytest.mark.parametrize("left", [0, 0.3, 0.9])
def test_a_journal_that_was_cut_short_loses_only_what_was_not_committed(tmp_path: Path, left: float) -> None:
    """The write-ahead log of a machine that lost power: SQLite keeps every whole transaction (sqlite.org/wal.html)."""
    path = tmp_path / "queue.db"
    fill(path, 5)
    with Store.open(path, now=lambda: NOON) as store:
        for number in range(5, 25):
            store.take_in(mail(number), by="test")
        copy = tmp_path / "after.db"
        copy.write_bytes(path.read_bytes())
        log = path.with_name("queue.db-wal").read_bytes()
    copy.with_name("after.db-wal").write_bytes(log[: int(len(log) * left)])
    with Store.open(copy, now=lambda: NOON) as after:
        kept = sorted(int(message.id[1:].partition("@")[0]) for t in after.each_thread() for message in t.messages)
        assert kept == list(range(len(kept))) and len(kept) >= 5
        for number in range(25):
            after.take_in(mail(number), by="test")
        assert len(list(after.each_thread())) == 25


# A disk that cannot be written


@pytest.fixture
def read_only(tmp_path: Path) -> Iterator[Path]:
    """A disk that can be read only, with a filled store on it; only root may make one."""
    disk = tmp_path / "disk"
    disk.mkdir()
    try:
        made = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=8m", "tmpfs", str(disk)], capture_output=True)
    except OSError:
        pytest.skip("no mount here")
    if made.returncode:
        pytest.skip("may not mount a disk")
    try:
        fill(disk / "queue.db", 3)
        subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
        yield disk
    finally:
        subprocess.run(["umount", "-l", str(disk)], check=True)


def test_a_read_only_disk_is_said_and_left_as_it_is(read_only: Path, tmp_path: Path, capsys) -> None:
    before = (read_only / "queue.db").read_bytes()
    source = tmp_path / "one.eml"
    source.write_bytes(b"From: a@mail.example\nSubject: cart\n\nIt clicks.\n")
    take_in = ["take-in", "--only-keep", "--store", str(read_only / "queue.db"), str(source)]
    assert run(take_in) == 3
    assert "cannot be opened or written" in capsys.readouterr().err
    assert (read_only / "queue.db").read_bytes() == before
    with pytest.raises(OSError, match=os.strerror(errno.EROFS)):
        (read_only / "probe").touch()


# A clock that jumps


@pytest.mark.parametrize("jump", [timedelta(days=400), timedelta(days=-400)], ids=["forwards", "back"])
def test_a_clock_that_jumps_loses_and_hides_nothing(tmp_path: Path, jump: timedelta) -> None:
    moments = [NOON]
    with Store.open(tmp_path / "queue.db", now=lambda: moments[-1]) as store:
        first = store.take_in(mail(1), by="test").thread
        store.save_draft(first, Draft("Re", (Sentence("Hello.", "wording:hello"),)), by="test")
        moments.append(NOON + jump)
        second = store.take_in(mail(2), by="test").thread
        store.record_reply(first, "Hello.", by="wyn", message_id="r1")
        moments.append(NOON + timedelta(minutes=1))
        store.settle(first, by="wyn", outcome="")
        store.note(first, "rang back", by="wyn")
        assert {row.thread for row in store.queue()} >= {second}
        numbers = [entry.id for entry in store.history(first)]
        assert (
            numbers == sorted(numbers) and len(numbers) >= 4
        )  # the order of the history is its numbers, not its times
    with Store.open(tmp_path / "queue.db", now=lambda: NOON) as store:
        assert len(list(store.each_thread())) == 2


# Two versions of the program


def test_an_older_program_refuses_a_newer_store_in_a_line(store: Path, capsys) -> None:
    """The reverse, a newer program on an older store: tests/store/test_opening.py."""
    with closing(sqlite3.connect(store)) as db, db:
        db.execute("insert into migrations values ('m999_later', '2027-01-01')")
    before = store.read_bytes()
    assert run(["queue"]) == 3 or "newer version" in capsys.readouterr().err
    assert store.read_bytes() == before


def test_what_a_newer_program_added_does_not_stop_a_reading_from_being_kept(store: Path) -> None:
    with Store.open(store, now=lambda: NOON) as opened, pytest.raises(StoreError):
        opened.thread(99)

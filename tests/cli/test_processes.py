"""Where the process matters: two at once, Ctrl-C, a full disk, a closed pipe, a terminal."""

from __future__ import annotations

import errno
import os
import pty
import resource
import signal
import sqlite3
import subprocess
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from .conftest import Triage, command, ended
from .mailbox import mail, many, mbox

Start = Callable[..., "subprocess.Popen[str]"]
QUESTION = "My 48 volt cart only clicks."


@pytest.fixture(autouse=True)
def small(monkeypatch: pytest.MonkeyPatch, small_shop: Path) -> None:
    monkeypatch.setenv("TRIAGE_PACK", str(small_shop))


def kept(store: Path, what: str = "messages") -> int:
    """How many there are by now; 0 while there is no store."""
    if not store.exists():
        return 0
    looking = sqlite3.connect(store)
    try:
        return int(looking.execute(f"select count(*) from {what}").fetchone()[0])
    except sqlite3.Error:
        return 0
    finally:
        looking.close()


def wait_for(condition: Callable[[], bool], seconds: float = 60) -> None:
    end = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < end, "waited too long"
        time.sleep(0.02)


def is_sound(store: Path) -> bool:
    looking = sqlite3.connect(store)
    try:
        return looking.execute("pragma integrity_check").fetchone() == ("ok",)
    finally:
        looking.close()


def test_two_programs_take_in_at_once(process: Start, tmp_path: Path, store: Path, triage: Triage) -> None:
    """Each would write for longer than the other is ready to wait, and both get everything in, once."""
    left = many(tmp_path / "left.mbox", 1000, "left.example", lines=30)
    right = many(tmp_path / "right.mbox", 1000, "right.example", lines=30)
    both = [process("take-in", "--only-keep", "--json", box) for box in (left, right)]
    for child in both:
        ran = ended(child)
        assert ran.code == 0, ran.err
        assert ran.json["new"] == 1000
    for name in ("left", "right"):
        assert len(triage("queue", "--asker", f"@{name}.example", "--limit", 9999, "--json").json) == 1000
    assert kept(store) == 2000 and is_sound(store)


def test_two_programs_take_in_and_read_the_same(process: Start, tmp_path: Path, triage: Triage) -> None:
    box = many(tmp_path / "a.mbox", 12)
    both = [process("take-in", "--json", box) for _ in range(2)]
    told = [ended(child).json for child in both]
    assert sum(one["new"] for one in told) == 12 and sum(one["known"] for one in told) == 12
    for number in range(1, 13):
        assert [e["what"] for e in triage("history", number, "--json").json].count("draft saved") == 1


def test_ctrl_c_while_taking_in(process: Start, tmp_path: Path, store: Path, triage: Triage) -> None:
    box = many(tmp_path / "a.mbox", 1200, lines=30)
    child = process("take-in", "--only-keep", box)
    wait_for(lambda: kept(store) >= 100)
    child.send_signal(signal.SIGINT)
    ran = ended(child)
    assert ran.code == 130
    assert "What was finished is kept" in ran.err
    first = kept(store)
    assert 100 <= first < 1200 and is_sound(store)
    assert triage("take-in", "--only-keep", box, "--json").json["new"] == 1200 - first
    assert kept(store) == 1200


def test_ctrl_c_while_reading(process: Start, tmp_path: Path, store: Path, triage: Triage) -> None:
    box = many(tmp_path / "a.mbox", 40, lines=3)
    child = process("take-in", box)
    wait_for(lambda: kept(store, "drafts") >= 2)
    child.send_signal(signal.SIGINT)
    assert ended(child).code == 130
    done = kept(store, "drafts")
    assert kept(store) == 40 and 2 <= done < 40 and kept(store, "readings") == done
    assert triage("take-in", box, "--json").json == {
        "new": 0, "known": 40, "automatic": 0, "set_aside": 0, "read": 40 - done,
    }  # fmt: skip


def test_ctrl_c_before_anything_began(process: Start) -> None:
    child = process("read", stdin=subprocess.PIPE)
    time.sleep(0.15)
    child.send_signal(signal.SIGINT)
    assert child.wait(20) in (130, -signal.SIGINT)  # the latter while Python itself still starts


def test_a_limit_on_file_size_is_a_full_disk(process: Start, tmp_path: Path, store: Path, triage: Triage) -> None:
    box = many(tmp_path / "a.mbox", 400, lines=200)

    def limited() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (600_000, 600_000))

    ran = ended(process("take-in", "--only-keep", box, preexec_fn=limited))
    assert ran.code == 5, ran.err
    assert str(store) in ran.err and "Make room" in ran.err
    before = kept(store)
    assert before < 400 and is_sound(store)
    assert triage("take-in", "--only-keep", box, "--json").json["new"] == 400 - before


@pytest.fixture
def tiny_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of 512 kB; only root may make one."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=512k", "tmpfs", str(disk)]
    try:
        made = subprocess.run(mount, capture_output=True).returncode == 0
    except OSError:
        made = False
    if not made:
        pytest.skip("may not mount a small disk")
    yield disk
    subprocess.run(["umount", "-l", str(disk)], check=True)


def test_a_full_disk(tiny_disk: Path, tmp_path: Path, triage: Triage) -> None:
    box = many(tmp_path / "a.mbox", 400, lines=200)
    err = triage("take-in", "--only-keep", "--store", tiny_disk / "queue.db", box, code=5).err
    assert "disk is full" in err and "Make room" in err


def test_a_full_disk_leaves_no_half_of_a_reply(tiny_disk: Path, tmp_path: Path, triage: Triage) -> None:
    triage("take-in", mbox(tmp_path / "a.mbox", [mail(1, QUESTION)]))
    (tmp_path / "in.jsonl").write_text('{"text": "it clicks"}\n')
    with (tiny_disk / "fill").open("wb", buffering=0) as fill, pytest.raises(OSError, match=os.strerror(errno.ENOSPC)):
        while fill.write(b"x" * 4096):
            pass
    assert "reply.eml: No space left" in triage("reply", 1, "--to", tiny_disk / "reply.eml", code=5).err
    batch = ("--jsonl", tmp_path / "in.jsonl", "--out", tiny_disk / "out.jsonl")
    assert "out.jsonl: No space left" in triage("read", *batch, code=5).err
    assert [path.name for path in tiny_disk.iterdir()] == ["fill"]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
def test_output_that_cannot_be_written(process: Start, tmp_path: Path, triage: Triage) -> None:
    triage("take-in", "--only-keep", mbox(tmp_path / "a.mbox", [mail(1, QUESTION)]))
    with open("/dev/full", "w") as full:
        ran = ended(process("counts", stdout=full))
    assert (ran.code, ran.err) == (5, "triage: output: No space left on device. "
                                      "Make room, then run the command again: nothing is half-written.\n")  # fmt: skip


def test_a_reader_that_has_seen_enough(process: Start, tmp_path: Path, triage: Triage) -> None:
    triage("take-in", "--only-keep", many(tmp_path / "a.mbox", 600))
    child = process("queue", "--limit", 600, "--json")
    assert child.stdout is not None
    child.stdout.readline()
    child.stdout.close()
    assert child.wait(20) == 1
    assert child.stderr is not None and child.stderr.read() == ""


def test_a_terminal_in_an_old_charset(process: Start, small_shop: Path, tmp_path: Path) -> None:
    (tmp_path / "q.txt").write_text("Er fährt – 48 V – nicht", encoding="utf-8")
    old = {"PYTHONIOENCODING": "ascii"}
    both = [process("read", tmp_path / "q.txt", *option, env=old) for option in ((), ("--json",))]
    plain, as_json = map(ended, both)
    assert plain.code == 0 and r"Er f\xe4hrt" in plain.out
    assert "pack_voltage" in {fact["name"] for fact in as_json.json["facts"]}


def on_a_terminal(*arguments: object) -> str:
    """What the program writes to a terminal."""
    ours, theirs = pty.openpty()
    env = {**os.environ, "TERM": "xterm-256color", "COLUMNS": "80"}
    child = subprocess.Popen(command(*arguments), stdout=theirs, stderr=theirs, stdin=subprocess.DEVNULL, env=env)
    os.close(theirs)
    written = b""
    try:
        while piece := os.read(ours, 65536):
            written += piece
    except OSError:  # the other end is closed
        pass
    os.close(ours)
    assert child.wait(60) == 0, written
    return written.decode()


def test_colour_on_a_terminal_only(tmp_path: Path, triage: Triage) -> None:
    (tmp_path / "q.txt").write_text("There is smoke and fire under the seat!")
    assert "\x1b[" in on_a_terminal("read", tmp_path / "q.txt")
    ran = triage("read", tmp_path / "q.txt")
    assert "\x1b" not in ran.out + ran.err
    assert "DANGER" in ran.out

"""Stopped, killed, two at once: every message is read into the folder once, and in its order."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from pathlib import Path

import pytest

from triage.batch import pool
from triage.batch.ledger import Ledger
from triage.batch.lock import alone
from triage.batch.plan import Part, PartRead
from triage.batch.run import run
from triage.unusable import Unusable

from . import toy
from .toy import TERMS, mails, parts, read_ids, toy_read

ROOT = Path(__file__).parents[2]
ALL = [mail.id for mail in mails(200)]
pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals of POSIX systems")


@pytest.fixture
def threads() -> Iterator[Executor]:
    with ThreadPoolExecutor(3) as made:
        yield made


def program(folder: Path, count: int = len(ALL), workers: int = 2) -> subprocess.Popen[str]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, str(Path(toy.__file__)), str(folder), str(count), str(workers)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment)


def read_until(process: subprocess.Popen[str], parts: int) -> list[int]:
    """Numbers of the parts it found done, or has read, until so many were read now."""
    assert process.stdout is not None
    read: list[int] = []
    for line in process.stdout:
        number, now = map(int, line.split())
        read += [number] * now
        if len(read) >= parts:
            break
    return read


def test_killed_again_and_again_every_message_is_there_once(tmp_path: Path) -> None:
    """SIGKILL after the 3rd, then the 11th part more; the third run goes through and reads only what was missing."""
    for after in (3, 11):
        process = program(tmp_path)
        read_until(process, after)
        process.kill()
        process.communicate()
    kept = len(Ledger(tmp_path, TERMS).done)
    assert kept >= 14
    process = program(tmp_path)
    read = read_until(process, 1000)
    assert process.wait(30) == 0
    process.communicate()
    assert read_ids(tmp_path) == ALL
    assert len(read) == len(ALL) // TERMS.part - kept


def test_killed_between_file_and_ledger_the_part_is_read_to_the_same_bytes(tmp_path: Path, threads: Executor) -> None:
    list(run(parts(20), toy_read, tmp_path, Ledger(tmp_path, TERMS), threads, 3))
    before = {file.name: file.read_bytes() for file in tmp_path.glob("part-*")}
    ledger = tmp_path / "ledger.jsonl"
    ledger.write_text("".join(ledger.read_text().splitlines(keepends=True)[:-2]))  # two entries never came
    steps = list(run(parts(20), toy_read, tmp_path, Ledger(tmp_path, TERMS), threads, 3))
    assert sum(step.now for step in steps) == 2
    assert {file.name: file.read_bytes() for file in tmp_path.glob("part-*")} == before


@pytest.mark.parametrize("ahead", [1, 4])
def test_no_more_parts_are_held_than_asked_for(tmp_path: Path, threads: Executor, ahead: int) -> None:
    """Memory stays flat: what was taken from the source and not yet written is bounded."""
    taken = 0

    def counted() -> Iterator[Part]:
        nonlocal taken
        for part in parts(100):
            taken += 1
            yield part

    for written, _ in enumerate(run(counted(), toy_read, tmp_path, Ledger(tmp_path, TERMS), threads, ahead)):
        assert taken - written <= ahead


def test_the_number_of_workers_changes_no_byte(tmp_path: Path) -> None:
    for workers in (1, 3):
        folder = tmp_path / str(workers)
        folder.mkdir()
        with ThreadPoolExecutor(workers) as executor:
            list(run(parts(60), toy_read, folder, Ledger(folder, TERMS), executor, 2 * workers))
    one, three = ({f.name: f.read_bytes() for f in (tmp_path / n).glob("part-*")} for n in ("1", "3"))
    assert one == three and len(one) == 12


def test_workers_end_with_the_program_however_it_ends(tmp_path: Path) -> None:
    process = program(tmp_path, 100_000)
    read_until(process, 2)
    children = Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text().split()
    assert len(children) >= 2
    process.kill()
    process.communicate()
    give_up = time.monotonic() + 10
    while any(_alive(child) for child in children):
        assert time.monotonic() < give_up, "workers outlive the program"
        time.sleep(0.05)


def _alive(pid: str) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def die(part: Part) -> PartRead:
    """What a machine does whose memory is full."""
    os.kill(os.getpid(), signal.SIGKILL)
    return toy_read(part)


def test_a_worker_ended_from_outside_is_said_with_what_to_do(tmp_path: Path) -> None:
    with (
        pytest.raises(Unusable, match="What was finished is kept: run the same command again"),
        pool.processes(1) as one,
    ):
        list(run(parts(10), die, tmp_path, Ledger(tmp_path, TERMS), one, 2))
    assert Ledger(tmp_path, TERMS).done == {}


def test_one_program_at_a_time(tmp_path: Path) -> None:
    with alone(tmp_path), pytest.raises(Unusable, match="another program is at work on this batch"), alone(tmp_path):
        pass
    with alone(tmp_path):
        pass

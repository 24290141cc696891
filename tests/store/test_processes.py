"""Several processes, a process killed half-way, and no room left: real processes on a real file."""

import multiprocessing
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from triage.store import Arrival, Store

from . import writers
from .looking import ask, assert_whole
from .mails import Clock

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals and limits of POSIX systems")


def writer(path: Path, *arguments: int) -> subprocess.Popen[str]:
    command = [sys.executable, str(Path(writers.__file__)), str(path), *map(str, arguments)]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment)


def kept(path: Path) -> list[int]:
    return sorted(int(id[1:].split("@")[0]) for (id,) in ask(path, "select id from messages"))


@pytest.mark.parametrize("every", [1, 25])
def test_processes_writing_at_once_lose_nothing(path: Path, every: int) -> None:
    """Three processes make the file and write to it at once; their ranges overlap."""
    context = multiprocessing.get_context("spawn")
    ranges = [(0, 90), (60, 90), (120, 90)]
    processes = [
        context.Process(target=writers.take_in_range, args=(path, first, count, every)) for first, count in ranges
    ]
    for process in processes:
        process.start()
    for process in processes:
        process.join(timeout=120)
    assert [process.exitcode for process in processes] == [0, 0, 0]
    assert kept(path) == list(range(210))
    assert_whole(path)
    with Store.open(path, now=Clock()) as store:
        assert len(list(store.each_thread())) == 140  # every third message joins the one before


@pytest.mark.parametrize("every", [1, 40])
@pytest.mark.parametrize("after", [3, 57, 130])
def test_a_process_killed_half_way_leaves_whole_messages(path: Path, every: int, after: int) -> None:
    process = writer(path, 0, 100_000, every)
    assert process.stdout is not None
    for line in process.stdout:
        if int(line) >= after:
            break
    process.send_signal(signal.SIGKILL)
    process.communicate()
    assert process.returncode == -signal.SIGKILL
    assert_whole(path)
    there = kept(path)
    assert there == list(range(len(there)))
    assert len(there) >= (after // every) * every  # what was committed before is there
    take_in_again(path, len(there) + 20)


def test_no_room_left_is_said_and_leaves_whole_messages(path: Path) -> None:
    process = writer(path, 0, 100_000, 10, 900_000)  # bytes; the tables alone come to 580,000 in the log
    output, _ = process.communicate(timeout=120)
    assert process.returncode == 3, output[-500:]
    assert "FULL The store" in output and "Make room" in output
    assert_whole(path)
    there = kept(path)
    assert there == list(range(len(there))) and there
    take_in_again(path, len(there) + 20)


def test_no_room_to_make_a_store_is_said(path: Path) -> None:
    process = writer(path, 0, 1, 1, 8192)
    output, _ = process.communicate(timeout=120)
    assert process.returncode == 3, output[-500:]
    with Store.open(path, now=Clock()) as store:
        assert store.queue() == []


def take_in_again(path: Path, count: int) -> None:
    """Starting over after the trouble: what was kept is known, the rest is new, all of it once."""
    there = len(kept(path))
    with Store.open(path, now=Clock()) as store, store.batch():
        taken = [store.take_in(writers.numbered(n), by="again").arrival for n in range(count)]
    assert taken == [Arrival.DUPLICATE] * there + [Arrival.NEW] * (count - there)
    assert kept(path) == list(range(count))
    assert_whole(path)

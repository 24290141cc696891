"""The workbench as it runs: started by its command, reading what arrives, ended by Ctrl-C."""

from __future__ import annotations

import os
import re
import signal
import sqlite3
import subprocess
import sys
import time
import urllib.request
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from triage.bench.reader import Reader
from triage.cli.bench import listening_at
from triage.desk import take_in
from triage.pack import scaffold
from triage.store import ThreadState
from triage.unusable import Unusable

from .post import NOW, message


def until(holds, seconds: float = 20) -> None:
    give_up = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < give_up, "it did not come about"
        time.sleep(0.05)


@pytest.fixture
def reading(office):
    reader = Reader(office, pause=0.05)
    reader.start()
    yield reader
    reader.stop()


def test_what_arrives_is_read_by_itself(office, store, reading):
    tally = take_in([message(50, "Zed Quill", "late", "My 2012 Lark clicks.")], store, office.stages.pack)
    until(lambda: store.thread(tally.threads[0]).state is ThreadState.READY)


def test_what_was_unread_when_it_started_is_read(office, store):
    take_in([message(51, "Zed Quill", "late", "My 2012 Lark clicks.")], store, office.stages.pack)
    reader = Reader(office, pause=0.05)
    reader.start()
    until(lambda: store.counts()[ThreadState.NEW] == 0)
    reader.stop()


def test_a_thread_told_twice_is_read_with_its_new_message(office, store, reading):
    more = message(52, "Ida Fen", "Re: Lark clicks", "It is 36 V after all.", references=("m1@mail.example",))
    take_in([more], store, office.stages.pack)
    until(lambda: len(store.thread(1).drafts) == 2)
    assert len(store.thread(1).messages) == 2


def test_a_store_in_use_is_tried_again(office, store, tmp_path, reading):
    other = sqlite3.connect(store.path, isolation_level=None)
    other.execute("begin immediate")
    time.sleep(0.2)
    other.execute("commit")
    tally = take_in([message(53, "Zed Quill", "late", "My 2012 Lark clicks.")], store, office.stages.pack)
    until(lambda: store.thread(tally.threads[0]).state is ThreadState.READY)


def test_a_port_in_use_is_told_with_a_way_out():
    with listening_at("127.0.0.1", 0) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(Unusable, match=rf"port {port}.*port 0 takes any"), listening_at("127.0.0.1", port):
            pass


def test_the_command_serves_until_ctrl_c(tmp_path: Path):
    scaffold(tmp_path / "shop")
    command = [sys.executable, "-c", "from triage.cli import main; main()", "bench", "--by", "Wyn"]
    options = ["--store", str(tmp_path / "queue.db"), "--pack", str(tmp_path / "shop")]
    env = {**os.environ, "TRIAGE_CACHE": os.environ.get("TRIAGE_CACHE", str(tmp_path / "cache"))}
    child = subprocess.Popen([*command, *options], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=env)
    try:
        line = child.stdout.readline()
        address = re.search(r"http://\S+/", line)
        assert address, line + child.stderr.read()
        page = urllib.request.urlopen(address[0], timeout=60).read().decode()
        child.send_signal(signal.SIGINT)
        child.communicate(timeout=30)
    finally:
        child.kill()
        child.wait()
    assert "Nobody waits" in page
    assert child.returncode in (0, 130)


def test_looking_at_a_question_works_while_the_store_cannot_be_written(client, store):
    """A claim is a courtesy: who only reads is not kept waiting by it."""
    store.set_setting("x", "1", by="Wyn")
    other = sqlite3.connect(store.path, isolation_level=None)
    other.execute("begin immediate")
    assert client.get("/question/1").status_code == 200
    other.execute("rollback")
    other.close()


def test_a_clock_that_goes_on_frees_a_question_left_open(office, store):
    store.together.claim(1, by="Bram")
    with replace(office, now=lambda: NOW + timedelta(hours=1)).store() as later:
        assert later.together.claims() == {}

"""The server killed, the disk full, the queue locked: nothing that was kept is lost, and the person is told."""

from __future__ import annotations

import multiprocessing
import re
import resource
import signal
import socket
import sqlite3
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx2
import pytest
import uvicorn
from playwright.sync_api import expect
from starlette.testclient import TestClient

from triage.bench.app import create_app
from triage.bench.office import Office
from triage.store import Store

from .conftest import Serve
from .post import NOW

NOTE = "/question/1/note"
FORK = multiprocessing.get_context("fork")


def token(page: str) -> str:
    return re.search(r'name="csrf" value="([^"]+)"', page)[1]


def notes(path: Path, thread: int = 1) -> list[str]:
    with Store.open(path, now=lambda: NOW) as store:
        return [str(entry.after["text"]) for entry in store.history(thread) if entry.what.value == "note"]


def whole(path: Path) -> bool:
    with sqlite3.connect(path) as db:
        return db.execute("pragma integrity_check").fetchone() == ("ok",)


# Locked


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Another program holds the queue, as a backup or a database browser may."""
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("begin immediate")
    try:
        yield
    finally:
        other.rollback()
        other.close()


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """As the program, but waiting a tenth of a second for the lock instead of five."""
    opening = Store.open
    monkeypatch.setattr(Store, "open", lambda path, **more: opening(path, **{"busy_seconds": 0.1} | more))


@pytest.mark.usefixtures("impatient")
@pytest.mark.parametrize("headers", [{}, {"hx-request": "true"}], ids=["page", "part"])
def test_a_locked_queue_is_told_and_the_same_step_works_afterwards(client: TestClient, queue: Path, headers) -> None:
    data = {"csrf": token(client.get("/question/1").text), "note": "rang her"}
    with locked(queue):
        answer = client.post(NOTE, data=data, headers=headers)
        assert answer.status_code == 503
        assert "in use" in answer.text
        assert "try again" in answer.text
        assert answer.headers.get("hx-retarget") == ("#trouble" if headers else None)
        assert client.get("/").status_code == 200  # reading goes on
    assert notes(queue) == []
    assert client.post(NOTE, data=data, headers=headers).status_code == 200
    assert notes(queue) == ["rang her"]


@pytest.mark.usefixtures("impatient")
def test_typed_words_stay_in_the_browser_while_the_queue_is_locked(browser: Any, serve: Serve, office: Office) -> None:
    page = browser.new_page()
    page.goto(f"{serve(office).url}/question/1", wait_until="networkidle")
    page.fill("#bnew", "Check the solenoid first, please.")
    with locked(office.settings.store):
        page.click("#keep")
        page.wait_for_selector("#trouble >> text=in use")
    assert page.input_value("#bnew") == "Check the solenoid first, please."
    page.click("#trouble button")
    page.click("#keep")
    expect(page.locator("#bnew")).to_have_value("")
    with office.store() as store:
        assert "Check the solenoid first, please." in store.thread(1).drafts[-1].draft.body
    page.close()


# Full


@contextmanager
def no_more_room(path: Path) -> Iterator[None]:
    """Files of this process may not grow beyond what the queue has now: a full disk, as the database sees it."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    room = max(file.stat().st_size for file in path.parent.glob(path.name + "*"))
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, handler)


@pytest.mark.parametrize("headers", [{}, {"hx-request": "true"}], ids=["page", "part"])
def test_a_full_disk_is_told_and_the_same_step_works_afterwards(client: TestClient, queue: Path, headers) -> None:
    long = "every word of it " * 40_000  # more than the log file of the database has left
    data = {"csrf": token(client.get("/question/1").text), "note": long}
    with no_more_room(queue):
        answer = client.post(NOTE, data=data, headers=headers)
    assert answer.status_code == 507
    assert "Make room" in answer.text
    assert "nothing is half-written" in answer.text
    assert answer.headers.get("hx-retarget") == ("#trouble" if headers else None)
    assert notes(queue) == []
    assert whole(queue)
    assert client.post(NOTE, data=data, headers=headers).status_code == 200
    assert notes(queue) == [long.strip()]


# Killed


class Process:
    """The workbench as a process of its own, with the stages this one has made."""

    def __init__(self, office: Office, port: int) -> None:
        self.url = f"http://127.0.0.1:{port}"
        self._process = FORK.Process(target=_serve, args=(office, port), daemon=True)
        self._process.start()
        self._wait()

    def _wait(self) -> None:
        give_up = time.monotonic() + 20
        while time.monotonic() < give_up and self._process.is_alive():
            try:
                httpx2.get(self.url + "/static/style.css")
                return
            except httpx2.TransportError:
                time.sleep(0.05)
        self.kill()
        raise AssertionError("the workbench did not start")

    def kill(self) -> None:
        """As by the power switch."""
        self._process.kill()
        self._process.join()


def _serve(office: Office, port: int) -> None:
    """In a thread of its own: the forked one belongs to the test's browser."""
    app = create_app(office.settings, office)
    server = uvicorn.Server(uvicorn.Config(app, port=port, log_level="critical"))
    thread = threading.Thread(target=server.run)
    thread.start()
    thread.join()


@pytest.fixture
def port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as free:
        return int(free.getsockname()[1])


def test_what_was_confirmed_survives_a_kill_in_the_middle_of_saving(office: Office, port: int) -> None:
    path = office.settings.store
    server = Process(office, port)
    confirmed: list[str] = []

    def save() -> None:
        with httpx2.Client(base_url=server.url, follow_redirects=False) as client:
            data = {"csrf": token(client.get("/question/1").text)}
            for number in range(10_000):
                words = f"note {number} " + "long " * 2_000
                try:
                    answer = client.post(NOTE, data=data | {"note": words})
                except httpx2.TransportError:
                    return
                assert answer.status_code == 303
                confirmed.append(words.strip())

    saving = threading.Thread(target=save)
    saving.start()
    while len(confirmed) < 20:
        time.sleep(0.01)
    server.kill()
    saving.join()
    kept = notes(path)
    assert whole(path)
    assert kept[: len(confirmed)] == confirmed
    assert len(kept) <= len(confirmed) + 1  # the one under way may have got through: whole, or not at all
    assert all(len(note) > 10_000 for note in kept)


def test_after_a_restart_the_open_page_goes_on_where_it_was(browser: Any, office: Office, port: int) -> None:
    """The words typed, the session and its token outlive the server; while it is away the person is told."""
    server = Process(office, port)
    page = browser.new_page()
    page.goto(f"{server.url}/question/1", wait_until="networkidle")
    page.fill("#bnew", "Check the solenoid first, please.")
    server.kill()
    page.click("#keep")
    page.wait_for_selector("#trouble >> text=does not answer")
    assert page.input_value("#bnew") == "Check the solenoid first, please."
    page.click("#trouble button")
    again = Process(office, port)
    try:
        page.click("#keep")
        expect(page.locator("#bnew")).to_have_value("")
    finally:
        page.close()
        again.kill()
    with office.store() as store:
        assert "Check the solenoid first, please." in store.thread(1).drafts[-1].draft.body

"""The workbench over the demo pack: in this process, behind a real server, and in a real browser."""

from __future__ import annotations

import shutil
import socket
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
import uvicorn
from starlette.testclient import TestClient

from triage.bench.app import create_app
from triage.bench.office import Office
from triage.bench.settings import Settings
from triage.desk import read_open, take_in
from triage.pipeline import Stages
from triage.store import Store

from .post import MAILS, NOW

KNOWLEDGE = Path(__file__).parents[2] / "knowledge"
CHROMIUM = Path("/usr/bin/chromium")
FLAGS = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
).split()


@pytest.fixture(scope="session")
def stages(toy_stages: Stages) -> Stages:
    """Quick: words are compared as words, no model is run."""
    return toy_stages


@pytest.fixture(scope="session")
def filled(stages: Stages, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store that took the test mails in and read them; copied for each test."""
    path = tmp_path_factory.mktemp("stores") / "filled.db"
    with Store.open(path, now=lambda: NOW) as store:
        take_in(MAILS, store, stages.pack)
        assert len(list(read_open(store, stages))) == len(MAILS)
    return path


@pytest.fixture
def queue(filled: Path, tmp_path: Path) -> Path:
    """This test's own store."""
    return shutil.copy(filled, tmp_path / "queue.db")


@pytest.fixture
def office(queue: Path, stages: Stages) -> Office:
    return Office(Settings(queue, KNOWLEDGE, person="Wyn", read_new=False), stages, lambda: NOW)


@pytest.fixture
def client(office: Office) -> Iterator[TestClient]:
    """A browser without a screen; it sends no script's headers, so that forms answer with whole pages."""
    with TestClient(create_app(office.settings, office), base_url="http://127.0.0.1") as made:
        yield made


@dataclass
class Served:
    """The workbench behind a real server."""

    url: str
    office: Office
    stop: Callable[[], None]


Serve = Callable[[Office], Served]


@pytest.fixture
def serve() -> Iterator[Serve]:
    """Start a server on a free port; what still runs at the end of the test is stopped."""
    running: list[Served] = []

    def start(office: Office, port: int = 0) -> Served:
        listening = socket.create_server(("127.0.0.1", port))
        number = listening.getsockname()[1]
        office = replace(office, settings=replace(office.settings, port=number))
        server = uvicorn.Server(uvicorn.Config(create_app(office.settings, office), log_level="warning"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        thread.start()
        _until(lambda: server.started)

        def stop() -> None:
            server.should_exit = True
            thread.join(10)
            listening.close()

        running.append(Served(f"http://127.0.0.1:{number}", office, stop))
        return running[-1]

    yield start
    for one in running:
        one.stop()


def _until(holds: Callable[[], bool], seconds: float = 10) -> None:
    give_up = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < give_up, "it did not start"
        time.sleep(0.02)


@pytest.fixture
def served(serve: Serve, office: Office) -> Served:
    return serve(office)


@pytest.fixture(scope="session")
def browser() -> Iterator[object]:
    """Headless Chromium, Debian's."""
    if not CHROMIUM.exists():
        pytest.skip("no /usr/bin/chromium: apt-get install chromium")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        yield chromium
        chromium.close()


@pytest.fixture
def store(office: Office) -> Iterator[Store]:
    """The store the pages work on, to look at what they did."""
    with office.store() as opened:
        yield opened

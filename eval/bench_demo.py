"""The workbench over the demo mailbox, behind a real server and in a real browser, for pictures and timed walks."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import uvicorn

from triage.bench.app import create_app
from triage.bench.office import Office
from triage.bench.settings import Settings
from triage.desk import read_open, take_in
from triage.engine import open_engine
from triage.intake import load_columns, read_source
from triage.store import Store

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "corpus_demo"
NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
CHROMIUM = "/usr/bin/chromium"
FLAGS = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
).split()


def demo_office(folder: Path) -> Office:
    """The demo mailbox taken in and read; the clock stands still."""
    stages = open_engine(ROOT / "knowledge")
    office = Office(Settings(folder / "demo.db", ROOT / "knowledge", person="Wyn", read_new=False), stages, lambda: NOW)
    with Store.open(office.settings.store, now=office.now) as store:
        for source in ("inbox.mbox", "eml", "form_export.csv", "chat_export.jsonl", "phone_notes.txt"):
            columns = DEMO / f"{source.split('.')[0]}.columns.yaml"
            named = read_source(DEMO / source, columns=load_columns(columns) if columns.exists() else None)
            take_in(named, store, stages.pack)
        for _ in read_open(store, stages):
            pass
    return office


@contextmanager
def served(office: Office) -> Iterator[str]:
    """The address of the workbench while the block lasts."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        office = replace(office, settings=replace(office.settings, port=listening.getsockname()[1]))
        server = uvicorn.Server(uvicorn.Config(create_app(office.settings, office), log_level="warning"))
        running = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        running.start()
        while not server.started:
            time.sleep(0.05)
        try:
            yield f"http://127.0.0.1:{office.settings.port}"
        finally:
            server.should_exit = True
            running.join(10)


@contextmanager
def chromium() -> Iterator[Any]:
    """Debian's Chromium, without a screen."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()

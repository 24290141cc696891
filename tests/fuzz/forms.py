"""Any bytes as a form sent to the workbench: no error nobody expected. The first two bytes choose page and kind."""

from __future__ import annotations

import shutil
from pathlib import Path
from tempfile import mkdtemp
from urllib.parse import quote

from bench.post import MAILS, NOW
from starlette.routing import Route
from starlette.testclient import TestClient
from toys import Words

from triage.bench.app import ROOMS, create_app
from triage.bench.office import Office
from triage.bench.settings import Settings
from triage.desk import read_open, take_in
from triage.engine import assemble, cache_folder
from triage.pack import load
from triage.pipeline import Stages
from triage.store import Store

from .targets import Target

KNOWLEDGE = Path(__file__).parents[2] / "knowledge"
KINDS = ("application/x-www-form-urlencoded", "multipart/form-data; boundary=b")
RENEWED = 400  # inputs after which the queue is as it was at first


def make(stages: Stages | None = None) -> Target:
    stages = stages or assemble(load(KNOWLEDGE), Words(), cache_folder() / "toy")
    folder = Path(mkdtemp(prefix="forms-"))
    filled, queue = folder / "filled.db", folder / "queue.db"
    with Store.open(filled, now=lambda: NOW) as store:
        take_in(MAILS, store, stages.pack)
        list(read_open(store, stages))
    shutil.copy(filled, queue)
    office = Office(Settings(queue, KNOWLEDGE, person="Wyn", read_new=False), stages, lambda: NOW)
    client = TestClient(create_app(office.settings, office), base_url="http://127.0.0.1", raise_server_exceptions=True)
    token = client.get("/question/1").text.partition('name="csrf" value="')[2].partition('"')[0]
    number = 0

    def one(data: bytes) -> None:
        nonlocal number
        number += 1
        if number % RENEWED == 0:
            shutil.copy(filled, queue)
        send(client, token, data)

    return one


def pages() -> list[tuple[str, str]]:
    """Method and address of every page and form, in the order of the rooms."""
    routes = [route for room in ROOMS for route in room.routes if isinstance(route, Route)]
    return [(method, route.path) for route in routes for method in sorted(route.methods or ()) if method != "HEAD"]


def send(client: TestClient, token: str, data: bytes) -> None:
    """One request; what the page answers must be one of its own answers."""
    found = pages()
    method, path = found[data[0] % len(found)] if data else found[0]
    kind = KINDS[data[1] % len(KINDS)] if len(data) > 1 else KINDS[0]
    body = data[2:]
    path = path.replace("{thread:int}", "1").replace("{day}", "2026-11-26").replace("{name}", "speed")
    if method == "GET":
        answer = client.get(f"{path}?{quote(body, safe='=&+%')}")
    else:
        headers = {"X-CSRF": token, "Origin": "http://127.0.0.1", "Content-Type": kind}
        answer = client.post(path, content=body, headers=headers)
    assert answer.status_code != 500, f"{method} {path}: an error nobody expected"

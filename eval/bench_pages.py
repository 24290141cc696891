"""How long the workbench's pages take with thousands of threads: python -m eval.bench_pages [--threads 10000]."""

from __future__ import annotations

import argparse
import re
import statistics
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from time import perf_counter

from starlette.testclient import TestClient

from triage.bench.app import create_app
from triage.bench.office import Office
from triage.bench.settings import Settings
from triage.desk import READER, current_questions, draft_of, readings_of, summarise, take_in
from triage.engine import open_engine
from triage.intake import read_source
from triage.model import Message, Reading
from triage.pipeline import Stages
from triage.store import Store, Thread

ROOT = Path(__file__).parents[1]
MAILBOX = ROOT / "corpus_demo" / "inbox.mbox"
START = datetime(2026, 1, 5, tzinfo=UTC)
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
ROUNDS = 30


def main() -> None:
    """Fill a store, ask for each page ROUNDS times, print milliseconds and sizes as a table."""
    wanted = argparse.ArgumentParser(description=__doc__)
    wanted.add_argument("--threads", type=int, default=10_000)
    wanted.add_argument("--store", type=Path, help="keep the store here, and use it again")
    given = wanted.parse_args()
    stages = open_engine(ROOT / "knowledge")
    with tempfile.TemporaryDirectory() as folder:
        path = given.store or Path(folder) / "queue.db"
        if not path.exists():
            fill(path, stages, given.threads)
        print(f"{given.threads} threads, {path.stat().st_size / 1e6:.0f} MB, {ROUNDS} requests a page\n")
        report(path, stages)


def fill(path: Path, stages: Stages, threads: int) -> None:
    """The demo mailbox over and over: each text read once, its reading kept under every further thread."""
    pattern = [item for item in read_source(MAILBOX) if isinstance(item, Message)]
    with Store.open(path, now=lambda: NOW) as store:
        take_in(_copies(pattern, threads), store, stages.pack)
        read: dict[str, tuple[Reading, ...]] = {}
        with store.batch(500):
            for thread in store.each_thread():
                _keep_reading(thread, store, stages, read)


def _copies(pattern: Sequence[Message], threads: int) -> Iterator[Message]:
    for number in range(threads):
        one = pattern[number % len(pattern)]
        sender = replace(one.sender, email=f"p{number}@mail.example", name=f"{one.sender.name} {number}".strip())
        yield replace(
            one, id=f"n{number}@mail.example", sender=sender, in_reply_to=(), references=(), reply_to=None,
            subject=f"{one.subject} ({number})", sent=START + timedelta(minutes=40 * number),
        )  # fmt: skip


def _keep_reading(thread: Thread, store: Store, stages: Stages, read: dict[str, tuple[Reading, ...]]) -> None:
    questions = current_questions(thread)
    text = "\n".join(question.text for question in questions)
    if not questions:
        return
    if text not in read:
        read[text] = tuple(readings_of(thread, stages))
    readings = [replace(r, id=q.id) for r, q in zip(read[text], questions, strict=True)]
    summary = summarise(thread, readings, stages.pack)
    store.save_reading(thread.id, *readings, pack_digest=stages.pack.digest, by=READER, summary=summary)
    store.save_draft(thread.id, draft_of(readings, questions, stages.pack, stages.book), by=READER)


def report(path: Path, stages: Stages) -> None:
    """One line a page."""
    office = Office(Settings(path, ROOT / "knowledge", person="Wyn", read_new=False), stages, lambda: NOW)
    with TestClient(create_app(office.settings, office), base_url="http://127.0.0.1") as client:
        print(f"| {'page':34} | median ms | slowest of 20 ms | kB |\n|{'-' * 36}|---|---|---|")
        for name, ask in pages(client, path):
            times, size = timed(ask)
            print(f"| {name:34} | {statistics.median(times):.0f} | {sorted(times)[-2]:.0f} | {size / 1000:.0f} |")


def pages(client: TestClient, path: Path) -> Iterator[tuple[str, Callable[[], int]]]:
    """What a person asks for in a day."""
    with Store.open(path, now=lambda: NOW) as store:
        numbers = iter([row.thread for row in store.queue()] * ROUNDS)

    def got(address: Callable[[], str]) -> Callable[[], int]:
        return lambda: len(client.get(address()).content)

    yield "the list", got(lambda: "/")
    yield "the list, found by words", got(lambda: "/?find=charger+hums")
    yield "the list, found by a fact", got(lambda: "/?find=pack_voltage%3D48")
    yield "the list, from line 4,001", got(lambda: "/?from=4000")
    seen = re.search(r"seen=([^\"&]+)", client.get("/").text)
    yield "anything new? (nothing)", got(lambda: f"/waiting/rows?seen={seen[1] if seen else ''}")
    yield "a question", got(lambda: f"/question/{next(numbers)}")
    yield "a sign of life", got(lambda: f"/question/{next(numbers)}/here?draft=1&replies=0")
    yield "a fact set, and all read again", fact_setting(client, numbers)


def fact_setting(client: TestClient, numbers: Iterator[int]) -> Callable[[], int]:
    """Sets a fact of one thread after another."""
    token = re.search(r'name="csrf" value="([^"]*)"', client.get(f"/question/{next(numbers)}").text)
    headers = {"HX-Request": "true", "X-CSRF": token[1] if token else "", "Origin": "http://127.0.0.1"}
    data = {"name": "pack_voltage", "value": "48", "how": "is", "vehicle": "1"}

    def ask() -> int:
        answer = client.post(f"/question/{next(numbers)}/fact", data=data, headers=headers)
        assert answer.status_code == 200, answer.text[:300]
        return len(answer.content)

    return ask


def timed(ask: Callable[[], int]) -> tuple[list[float], int]:
    """Milliseconds of each request after the first, and the largest answer in bytes."""
    ask()
    times, size = [], 0
    for _ in range(ROUNDS):
        begin = perf_counter()
        size = max(size, ask())
        times.append(1000 * (perf_counter() - begin))
    return times, size


if __name__ == "__main__":
    main()

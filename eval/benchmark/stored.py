"""A store of so many messages, all waiting: python -m eval.benchmark.stored MESSAGES FOLDER. Prints JSON."""

from __future__ import annotations

import json
import statistics
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

from eval.benchmark.material_files import read_questions
from triage.model import Address, Message
from triage.store import Store

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
BATCH = 2000
TIMES = 15
A_THREAD = 3  # messages of a thread: a question, what was told on asking, a thank-you


def main(count: int, folder: Path) -> None:
    """Fill it, then do what a person does."""
    path, questions = folder / f"stored{count}.db", read_questions(folder)
    with Store.open(path, now=lambda: NOW) as store:
        begin = time.perf_counter()
        with store.batch(BATCH):
            for message in messages(count, questions):
                store.take_in(message, by="benchmark")
        filled = time.perf_counter() - begin
        chance = Random(0)
        threads = [1 + chance.randrange(max(1, count // A_THREAD)) for _ in range(TIMES + 1)]
        found = {
            "list_ms": _timed(lambda _: store.queue()), "counts_ms": _timed(lambda _: store.counts()),
            "open_ms": _timed(lambda turn: store.thread(threads[turn])),
            "search_ms": _timed(lambda turn: store.search(f"charger {4711 + turn}")),
        }  # fmt: skip
    print(json.dumps({"take_in_s": filled, "mb": path.stat().st_size / 1e6, **found}))


def messages(count: int, texts: Sequence[str]) -> Iterator[Message]:
    """Threads of three, spread over ten years; texts are real questions with a number."""
    apart = timedelta(days=3650) / count
    for number in range(count):
        thread, place = divmod(number, A_THREAD)
        before = (f"{thread}.{place - 1}@mail.example",) if place else ()
        text = f"{texts[thread % len(texts)]} ({thread})" if place == 0 else f"Thank you, the charger says {number}."
        yield Message(
            f"{thread}.{place}@mail.example", "mail", Address(f"a{thread % 50_000}@mail.example", f"A. {thread}"),
            f"{'Re: ' if place else ''}my cart {thread}", NOW - timedelta(days=3650) + apart * number, text,
            in_reply_to=before, references=before, raw=text.encode(),
        )  # fmt: skip


def _timed(act: Callable[[int], object]) -> float:
    """Median milliseconds of the processor; the first time does not count."""
    act(0)
    times = []
    for turn in range(1, TIMES + 1):
        begin = time.process_time()
        act(turn)
        times.append(1000 * (time.process_time() - begin))
    return statistics.median(times)


if __name__ == "__main__":
    main(int(sys.argv[1]), Path(sys.argv[2]))

"""A reader without models, and a batch run with it in a process of its own: python toy.py FOLDER COUNT WORKERS."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

from triage.batch import pool
from triage.batch.ledger import Ledger, Terms
from triage.batch.plan import Part, PartRead, cut
from triage.batch.run import run
from triage.model import Address, Message

TERMS = Terms("pack", "encoder", "ranker", "0", 5, False)


def mails(count: int) -> Iterator[Message]:
    for number in range(count):
        words = f"question {number}"
        yield Message(f"m{number}@mail.example", "mail", Address("a@mail.example"), text=words, raw=words.encode())


def toy_read(part: Part) -> PartRead:
    """A line each, and a moment's work."""
    time.sleep(0.01)
    ids = [item.id for item in part.arrived if isinstance(item, Message)]
    return PartRead("".join(json.dumps({"message": id}) + "\n" for id in ids), len(ids), len(ids), 0)


def read_ids(folder: Path) -> list[str]:
    """The messages of all parts, in the order of the files."""
    files = sorted(folder.glob("part-*.jsonl"))
    return [json.loads(line)["message"] for file in files for line in file.read_text().splitlines()]


def parts(count: int) -> Iterable[Part]:
    return cut(mails(count), TERMS.part)


def main() -> None:
    folder, count, workers = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    with pool.processes(workers) as executor:
        for step in run(parts(count), toy_read, folder, Ledger(folder, TERMS), executor, 2 * workers):
            print(step.done.part, int(step.now), flush=True)


if __name__ == "__main__":
    main()

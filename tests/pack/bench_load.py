"""How long a large pack takes: python tests/pack/bench_load.py [ANSWERS]

Not a test, because a busy machine is no error. Makes a pack of that many answers (2,000 unless told) out of
random words over the shipped trade part, and prints seconds for load, check, export and import.

Measured on 2 cores on 2026-11-25, 2,000 answers, two runs: load 0.5-0.6 s, check 0.6-0.7 s, export 0.1 s,
import 1.3-1.5 s.
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from triage.pack import Pack, check, load, scaffold
from triage.pack.exporting import export_tables
from triage.pack.importing import import_tables
from triage.pack.render import to_markdown
from triage.pack.schema import Answer, AppliesTo

WORDS = [
    "cart",
    "pack",
    "slow",
    "hill",
    "charge",
    "cable",
    "pedal",
    "volts",
    "each",
    "side",
    "under",
    "load",
    "rear",
    "wheel",
    "ground",
    "again",
    "key",
]


def sentence(rng: random.Random, length: int) -> str:
    return " ".join(rng.choice(WORDS) for _ in range(length)) + "."


def answer(number: int, rng: random.Random) -> Answer:
    """An answer of usual length: five other ways to ask it, three paragraphs of 50 words."""
    return Answer(
        id=f"a-{number}",
        title=sentence(rng, 5),
        question=sentence(rng, 14),
        text="\n\n".join(sentence(rng, 50) for _ in range(3)),
        variants=[sentence(rng, 10) for _ in range(5)],
        applies_to=AppliesTo(powertrain="electric", voltages=[48]),
        needs=["model", "year"],
    )


def timed(name: str, work: Callable[[], object]) -> None:
    start = time.perf_counter()
    work()
    print(f"{name:8} {time.perf_counter() - start:6.2f} s")


def main(count: int) -> None:
    rng = random.Random(1)
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        scaffold(root / "pack")
        for number in range(count):
            file = root / "pack" / "shop" / "answers" / f"a-{number}.md"
            file.write_text(to_markdown(answer(number, rng), "text"), encoding="utf-8")
        measure(root, load(root / "pack"))


def measure(root: Path, pack: Pack) -> None:
    tables = root / "v.csv", root / "a.csv"
    print(f"{len(pack.answers)} answers")
    timed("load", lambda: load(root / "pack"))
    timed("check", lambda: check(root / "pack"))
    timed("export", lambda: export_tables(pack, *tables))
    timed("import", lambda: import_tables(*tables, root / "again"))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)

"""One way in a process of its own: python -m eval.benchmark.one WAY FOLDER BEGAN. Prints what it measured as JSON.

BEGAN is the clock (seconds since 1970) when the process was ordered, so that starting Python counts. Warm times are
the processor's, so that other work on the machine does not count; where nothing else runs the clock says the same.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from eval.benchmark.material_files import read_entries, read_questions
from eval.benchmark.ways import FIRST, PLAIN, Ranked

PROGRAM = "the program"
ENCODER = "its encoder alone"  # what a reading encodes, and nothing else: no way with this encoder can be quicker
WARM_FROM = 10  # questions that warm up


def main(way: str, folder: Path, began: float) -> None:
    """Ask every question, one after another."""
    questions = read_questions(folder)
    ask, ids = ready(way, folder)
    ask(questions[0])
    cold, used = time.time() - began, time.process_time()
    times, ranked = [], []
    for question in questions:
        begin = time.process_time()
        ranked.append(ask(question))
        times.append(1000 * (time.process_time() - begin))
    found = [([ids[number] for number in numbers], best) for numbers, best in ranked]
    peak = peak_memory()
    print(json.dumps({"cold_s": cold, "cold_cpu_s": used, "ms": times[WARM_FROM:], "peak_mib": peak, "ranked": found}))


def peak_memory() -> float:
    """MiB this process held at most; getrusage would count what its parent held before it."""
    with open("/proc/self/status", encoding="utf-8") as lines:
        return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM")) / 1024


def ready(way: str, folder: Path) -> tuple[Callable[[str], Ranked], Sequence[str]]:
    """A way made ready, and the ids its numbers stand for."""
    if way == PROGRAM:
        return _program(folder)
    entries = read_entries(folder)
    if way == ENCODER:
        return _encoder(folder), [entry.id for entry in entries]
    return PLAIN[way](entries, folder), [entry.id for entry in entries]


def _program(folder: Path) -> tuple[Callable[[str], Ranked], Sequence[str]]:
    from triage.engine import open_engine
    from triage.model import Question
    from triage.pipeline import read

    stages = open_engine(folder / "pack", cache=folder / "cache")
    ids = [answer.id for answer in stages.pack.answers]
    numbers = {id: number for number, id in enumerate(ids)}

    def ask(question: str) -> Ranked:
        matches = read(Question("q", question), stages).matches[:FIRST]
        return [numbers[match.answer] for match in matches], matches[0].probability if matches else 0.0

    return ask, ids


def _encoder(folder: Path) -> Callable[[str], Ranked]:
    """Encodes what a reading of the question encodes, as noted down before."""
    from triage.matching.encode import Encoder

    noted: dict[str, list[str]] = json.loads((folder / "encoded.json").read_text(encoding="utf-8"))
    encoder = Encoder()

    def ask(question: str) -> Ranked:
        encoder.encode(noted[question])
        return [], 0.0

    return ask


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]), float(sys.argv[3]))

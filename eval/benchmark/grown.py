"""A way over an answer base of some size: python -m eval.benchmark.grown WAY ANSWERS FOLDER. Prints JSON."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from itertools import islice
from pathlib import Path

from eval.benchmark.material_files import read_questions
from eval.benchmark.one import PROGRAM, peak_memory
from eval.benchmark.pool import Known, Pool, entries
from eval.benchmark.ways import PLAIN
from triage.engine import open_engine
from triage.kept import KeptIndexes
from triage.matching.index import build_index
from triage.model import Question
from triage.pipeline import Stages, read

ASKED = 40
WARM_FROM = 5


def main(way: str, count: int, folder: Path) -> None:
    """Make the base, ask, and tell."""
    stages = open_engine(folder / "pack", cache=folder / "cache")
    pool = Pool.of(stages)
    begin = time.perf_counter()
    ask = _grown_program(stages, pool, count, folder) if way == PROGRAM else _grown_plain(way, pool, count, stages)
    ready, times = time.perf_counter() - begin, []
    for question in islice(read_questions(folder), ASKED):
        begin = time.process_time()
        ask(question)
        times.append(1000 * (time.process_time() - begin))
    peak = peak_memory()
    print(json.dumps({"ready_s": ready, "ms": times[WARM_FROM:], "peak_mib": peak}))


def _grown_program(stages: Stages, pool: Pool, count: int, folder: Path) -> Callable[[str], object]:
    pairs = list(pool.made(count))
    answers, told = zip(*pairs, strict=True)
    known, kept = Known(stages.encoder, pool), KeptIndexes(folder / "cache", f"grown{count}")
    index = build_index(answers, stages.pack.vehicles, known, told, kept)
    grown = replace(stages, index=index, pack=replace(stages.pack, answers=answers))
    return lambda question: read(Question("q", question), grown)


def _grown_plain(way: str, pool: Pool, count: int, stages: Stages) -> Callable[[str], object]:
    if way in _NEEDS_VECTORS:
        return _cosine(pool, count, stages)
    return PLAIN[way](entries(pool.made(count)), Path())


_NEEDS_VECTORS = frozenset({"spaCy + sentence-transformers"})


def _cosine(pool: Pool, count: int, stages: Stages) -> Callable[[str], object]:
    from eval.benchmark.ways import comparing

    made = [f"{answer.title}. {answer.question}" for answer, _ in pool.made(count)]
    return comparing(Known(stages.encoder, pool).encode(made))


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), Path(sys.argv[3]))

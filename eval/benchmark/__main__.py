"""Measure speed, memory and growth beside the plain ways, and keep the figures with date and machine.

    python -m eval.benchmark [--only ways|answers|messages|text ...] [--large] [--to docs/benchmark.json]
                             [--python OTHER/bin/python]

Every way and size runs in a process of its own. --python names the interpreter for the plain ways, where spaCy and
sentence-transformers live apart. --large adds the largest sizes, by hand and in their own time. What is not measured
in a run stays in the file as it was kept, with its own date.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from eval.benchmark.material import Material, material
from eval.benchmark.one import ENCODER, PROGRAM
from eval.benchmark.pool import VECTORS
from eval.benchmark.running import free_memory, machine, run
from eval.benchmark.ways import PLAIN
from eval.calibration import auroc
from eval.labels import Labelled
from eval.shops import HERE

ANSWERS = (100, 1_000, 3_000, 10_000, 100_000)
MESSAGES = (1_000, 10_000, 100_000)
LARGE = 1_000_000
SECONDS = 600.0  # a size is given up after so long; --large has an hour
DIMENSION = 384  # of the encoder's vectors
Rows = list[dict[str, Any]]


_ONCE = ("cold_s", "cold_cpu_s", "peak_mib")


class Bench:
    """One run: where things lie, and how long a process may take."""

    def __init__(self, given: Material, python: str, large: bool) -> None:
        self.given, self.folder = given, str(given.folder)
        self._python, self.large = python, large
        self.seconds = 3600.0 if large else SECONDS

    def ways(self) -> dict[str, Any]:
        """Every way on the same questions: quality, warm time, cold start, memory."""
        return {"stages": self.given.stages, "rows": [self._way(way) for way in (PROGRAM, *PLAIN, ENCODER)]}

    def _way(self, way: str) -> dict[str, Any]:
        self._one(way)  # what is kept between runs, and the disk's own memory, are filled
        found = self._one(way)
        say(f"{way}: {found.get('not_done') or statistics.median(found['ms'])}")
        if "not_done" in found:
            return {"way": way, **found}
        quality = {} if way == ENCODER else judged(found["ranked"], self.given.labels)
        return {"way": way, **quality, **warm(found["ms"]), **{key: found[key] for key in _ONCE}}

    def _one(self, way: str) -> Mapping[str, Any]:
        arguments = [way, self.folder, repr(time.time())]
        return run("eval.benchmark.one", arguments, python=self._for(way), seconds=self.seconds)

    def _for(self, way: str) -> str:
        return sys.executable if way in (PROGRAM, ENCODER) else self._python

    def answers(self) -> Rows:
        """Every way over growing answer bases."""
        sizes = (*ANSWERS, LARGE) if self.large else ANSWERS
        return [self._grown(way, size) for way in (PROGRAM, *PLAIN) for size in sizes]

    def _grown(self, way: str, size: int) -> dict[str, Any]:
        if way == PROGRAM and (lacking := too_large(size)):
            return {"way": way, "answers": size, "not_done": lacking}
        arguments = [way, str(size), self.folder]
        found = run("eval.benchmark.grown", arguments, python=self._for(way), seconds=self.seconds)
        say(f"{way}, {size:,} answers: {found.get('not_done') or statistics.median(found['ms'])}")
        if "not_done" in found:
            return {"way": way, "answers": size, **found}
        kept = {"ready_s": found["ready_s"], "peak_mib": found["peak_mib"]}
        return {"way": way, "answers": size, **warm(found["ms"]), **kept}

    def messages(self) -> Rows:
        """The store with growing numbers of messages."""
        sizes = (*MESSAGES, LARGE) if self.large else MESSAGES
        return [{"messages": n, **self._stored(n)} for n in sizes]

    def _stored(self, count: int) -> Mapping[str, Any]:
        found = run("eval.benchmark.stored", [str(count), self.folder], seconds=self.seconds)
        (self.given.folder / f"stored{count}.db").unlink(missing_ok=True)
        say(f"{count:,} messages: {found}")
        return found

    def text(self) -> Any:
        """Messages of growing length."""
        return run("eval.benchmark.lengths", [self.folder], seconds=self.seconds)


def too_large(answers: int) -> str:
    """Why a base is not tried: its vectors, in full and halved in the graph, must leave half the memory to others."""
    needed = answers * VECTORS * DIMENSION * (4 + 2) / 2**30
    free = free_memory()
    return f"not done: {needed:.0f} GiB of vectors, {free:.0f} GiB free" if needed > free / 2 else ""


def judged(ranked: Sequence[tuple[Sequence[str], float]], labels: Sequence[Labelled]) -> dict[str, float | None]:
    """Share right first and among three, and how well "none fits" is told."""
    asked = [(names, label) for (names, _), label in zip(ranked, labels, strict=True) if label.answer is not None]
    none = auroc([label.answer is None for label in labels], [-best for _, best in ranked])
    within = {n: sum(not label.accepted.isdisjoint(names[:n]) for names, label in asked) / len(asked) for n in (1, 3)}
    return {"first": within[1], "three": within[3], "none": none}


def warm(times: Sequence[float]) -> dict[str, float]:
    """Median and 95th percentile, milliseconds."""
    ordered = sorted(times)
    return {"warm_ms": statistics.median(times), "slow_ms": ordered[int(0.95 * (len(ordered) - 1))]}


def main(arguments: Sequence[str] | None = None) -> int:
    """The command; returns its exit code."""
    options = _options(arguments)
    kept = json.loads(options.to.read_text(encoding="utf-8")) if options.to.is_file() else {}
    with material() as given:
        bench = Bench(given, options.python, options.large)
        parts: Mapping[str, Callable[[], Any]] = {
            "ways": bench.ways, "text": bench.text, "messages": bench.messages, "answers": bench.answers,
        }  # fmt: skip
        for name in options.only or parts:
            say(f"{name} ...")
            kept[name] = {"machine": machine(), "found": parts[name]()}
            options.to.parent.mkdir(parents=True, exist_ok=True)
            options.to.write_text(json.dumps(rounded(kept), indent=1) + "\n", encoding="utf-8")
    return 0


def rounded(value: Any) -> Any:
    """Three digits after the point: no more was measured."""
    if isinstance(value, float):
        return round(value, 3)
    if isinstance(value, dict):
        return {key: rounded(item) for key, item in value.items()}
    return [rounded(item) for item in value] if isinstance(value, list | tuple) else value


def say(text: str) -> None:
    """Progress."""
    print(text, flush=True)


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m eval.benchmark", description="Speed beside the plain ways.")
    parser.add_argument("--only", nargs="*", choices=("ways", "text", "messages", "answers"), default=())
    parser.add_argument("--large", action="store_true", help="a million answers and messages as well")
    parser.add_argument("--to", type=Path, default=HERE.parent / "docs" / "benchmark.json")
    parser.add_argument("--python", default=sys.executable, help="interpreter for the plain ways")
    return parser.parse_args(arguments)


if __name__ == "__main__":
    sys.exit(main())

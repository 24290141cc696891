"""Measure everything and write the report.

    python -m eval.everything [--docs DIR] [--part NAME ...] [--workers 2] [--keep DIR]

Parts whose code, knowledge and labels did not change are taken as they were kept; a run that was stopped goes on
where it was. With --part only these parts are made, and no report.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from multiprocessing import get_context
from pathlib import Path
from time import perf_counter

from eval.everything.kept import Kept
from eval.everything.making import made_part
from eval.everything.parts import Run
from eval.everything.report import sections, write
from eval.labels import LabelError
from eval.shops import HERE
from triage.pack import PackError

DOCS = HERE.parent / "docs"


def main(arguments: Sequence[str] | None = None) -> int:
    """The command; returns its exit code."""
    options = _options(arguments)
    begin, run = perf_counter(), Run.begun(Kept(options.keep), options.labels)
    try:
        _make_all(run, options.part, options.workers)
        if not options.part:
            write(sections(run, options.docs / "benchmark.json"), options.docs)
            _say(f"{options.docs / 'report.html'} and report.md, {perf_counter() - begin:.0f} s in all")
    except (LabelError, PackError) as error:
        print(error, file=sys.stderr)
        return 1
    return 0


def _make_all(run: Run, wanted: Sequence[str], workers: int) -> None:
    """What is missing, those parts first that need no others."""
    chosen = [part for part in run.parts if not wanted or part.name in wanted]
    for part in chosen:
        if run.has(part):
            _say(f"{part.name}: as kept")
    for needs_shops in (False, True):
        _make([p.name for p in chosen if p.needs_shops is needs_shops and not run.has(p)], run, workers)


def _make(names: Sequence[str], run: Run, workers: int) -> None:
    if workers < 2 or len(names) < 2:
        for name in names:
            _say(made_part(name, run))
        return
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        for done in as_completed([pool.submit(made_part, name, run) for name in names]):
            _say(done.result())


def _say(text: str) -> None:
    print(text, flush=True)


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m eval.everything", description="Measure everything, write a report."
    )
    parser.add_argument("--docs", type=Path, default=DOCS, help="folder for report.md, report.html and report/")
    parser.add_argument("--part", nargs="*", default=(), help="make only these parts: shop-demo, repairs, ...")
    parser.add_argument("--workers", type=int, default=2, help="processes that work at once")
    parser.add_argument("--keep", type=Path, default=Path("eval-report/kept"), help="folder of kept parts")
    parser.add_argument("--labels", type=Path, default=HERE, help="folder with demo_shop/ and the other shops")
    return parser.parse_args(arguments)


if __name__ == "__main__":
    sys.exit(main())

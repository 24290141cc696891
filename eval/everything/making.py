"""Make one part, in whichever process: a process of its own cannot find what stands in a package's __main__."""

from __future__ import annotations

from time import perf_counter

from eval.everything.parts import Run


def made_part(name: str, run: Run) -> str:
    """Make and keep a part; says how long it took."""
    begin = perf_counter()
    run.result(name)
    return f"{name}: {perf_counter() - begin:.0f} s"

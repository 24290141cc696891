"""Everything that is wrong with a pack, at once."""

from __future__ import annotations

from pathlib import Path

from triage.pack.advice import WARNINGS
from triage.pack.assemble import assemble
from triage.pack.load import find_trade
from triage.pack.problem import PackError, Problem
from triage.pack.references import unknown_sources
from triage.pack.rules import errors_of


def check(root: Path, *, trade: Path | None = None) -> list[Problem]:
    """Every error and warning of the pack in `root`, by file and line; empty when all is well."""
    try:
        read = assemble(root, trade or find_trade())
    except PackError as error:
        return list(error.problems)
    advice = [problem for rule in (unknown_sources, *WARNINGS) for problem in rule(read)]
    return sorted({*errors_of(read), *advice})

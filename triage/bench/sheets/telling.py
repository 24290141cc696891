"""The outcome of a worksheet as words for a reply."""

from __future__ import annotations

from triage.physics.sheets.record import Outcome, WorkResult

_MOST = 3  # outcomes told; whoever wants more of them writes more


def words_for(result: WorkResult) -> str:
    """One sentence from the values to the outcome, and the worksheet's caution behind it."""
    told = result.results if len(result.results) <= _MOST else result.results[:1]
    values = "; ".join(map(_pair, result.inputs))
    return f"From these values ({values}) we work out: {'; '.join(map(_pair, told))}. {result.caution}".strip()


def _pair(outcome: Outcome) -> str:
    return f"{outcome.label} {outcome.text}"

"""Figures as Markdown: tables, shares with their interval, and a dash where nothing can be said."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from eval.counts import Counts, Share

NOTHING = "–"


def table(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A Markdown table; the first column is text, the others figures."""
    marks = ["---"] + ["---:"] * (len(header) - 1)
    lines = [header, marks, *rows]
    return "\n".join("| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |" for line in lines)


def number(value: float | None, digits: int = 3) -> str:
    """A figure, or a dash."""
    return NOTHING if value is None else f"{value:.{digits}f}"


def percent(value: float | None) -> str:
    """A share in per cent, or a dash."""
    return NOTHING if value is None else f"{100 * value:.1f} %"


def share(item: Share) -> str:
    """A share with what it is of and its 95 % interval: "90.0 % (45 of 50; 78.6 to 95.7)"."""
    if item.interval is None:
        return NOTHING
    low, high = item.interval
    return f"{percent(item.value)} ({item.part} of {item.whole}; {100 * low:.1f} to {100 * high:.1f})"


def counts(item: Counts) -> list[str]:
    """Cells: precision, recall, F1, true, false, missed."""
    shares = [number(value) for value in (item.precision, item.recall, item.f1)]
    return [*shares, str(item.true), str(item.false), str(item.missed)]


COUNTS_HEADER = ("precision", "recall", "F1", "true", "false", "missed")

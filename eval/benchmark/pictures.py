"""The pictures of the benchmark: from the kept figures alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from eval.drawing import INK, LINES, OTHER, OURS, PENCIL, PIECES, Picture, named_rows

Rows = Sequence[Mapping[str, Any]]
Lines = Mapping[str, tuple[Sequence[float], Sequence[float]]]  # name -> sizes, milliseconds


def ways(rows: Rows, own: str) -> str:
    """Warm time, cold start and memory, one bar a way."""
    measures = {"warm_ms": "one question, warm, ms", "cold_s": "cold start, s", "peak_mib": "peak memory, MiB"}
    done = [row for row in rows if "not_done" not in row]
    with Picture(9.4, 0.36 * len(done) + 1.2, across=3, sharey=True) as picture:
        for axes, (key, title) in zip(picture.all_axes, measures.items(), strict=True):
            for place, row in enumerate(done):
                axes.barh(place, row[key], color=OURS if row["way"].startswith(own[:3]) else OTHER, height=0.56)
                axes.annotate(f"{row[key]:.3g}", (row[key], place), (4, 0), textcoords="offset points", va="center")
            named_rows(axes, [row["way"] for row in done])
            axes.set_title(title)
            axes.set_xlim(0, 1.25 * max((row[key] for row in done), default=1.0))
    return picture.svg


def growth(lines: Lines, across: str, limit: float | None = None) -> str:
    """Milliseconds against size on logarithmic axes."""
    with Picture(9.4, 3.6) as picture:
        axes = picture.axes
        for colour, (name, (sizes, times)) in zip(LINES, lines.items(), strict=False):
            axes.loglog(sizes, times, marker="o", markersize=5, color=colour, label=name)
        if limit is not None:
            axes.axhline(limit, color=PENCIL, linewidth=1, linestyle="--")
            axes.annotate(f"aim: {limit:g} ms", (1, limit), (-4, 3), xycoords=("axes fraction", "data"),
                          textcoords="offset points", ha="right", color=INK)  # fmt: skip
        axes.set(xlabel=across, ylabel="ms")
        axes.legend(loc="center left", bbox_to_anchor=(1.0, 0.5))
    return picture.svg


def stages(times: Mapping[str, float]) -> str:
    """Where the time of a reading goes, one piece a stage."""
    with Picture(9.4, 1.5) as picture:
        axes, begin = picture.axes, 0.0
        for colour, (name, time) in zip(PIECES, times.items(), strict=False):
            axes.barh(0, time, left=begin, color=colour, alpha=0.8, height=0.5, label=f"{name} {time:.1f}")
            begin += time
        axes.set_yticks([])
        axes.grid(axis="y", visible=False)
        axes.set_xlabel("ms, median of each stage")
        axes.legend(loc="lower left", bbox_to_anchor=(0, 1.0), ncols=5, fontsize=8.5)
    return picture.svg

"""Plain pictures for reports: one look, the same bytes for the same figures."""

from __future__ import annotations

from collections.abc import Sequence
from io import StringIO
from typing import Any

from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

INK, PENCIL, RULE = "#23282d", "#6b7278", "#d9d6cd"
OURS, OTHER, CEILING, SECOND = "#1f5f8b", "#b0793b", "#3f7d4e", "#9a4f4a"
LINES = (OURS, OTHER, CEILING, SECOND, "#75609b", PENCIL)
PIECES = (*LINES, "#c9a227", "#5b9fb8", "#8a8f4a", "#c27ba0")  # of one bar
_STYLE: Any = {
    "svg.hashsalt": "report", "svg.fonttype": "none", "font.family": "sans-serif", "font.size": 9.5,
    "font.sans-serif": ["DejaVu Sans", "Verdana", "sans-serif"], "text.color": INK, "axes.edgecolor": PENCIL,
    "axes.labelcolor": INK, "xtick.color": PENCIL, "ytick.color": INK, "axes.spines.top": False, "axes.grid": True,
    "axes.spines.right": False, "grid.color": RULE, "grid.linewidth": 0.6, "axes.axisbelow": True,
    "legend.frameon": False, "figure.facecolor": "white", "lines.linewidth": 1.6, "axes.titlesize": 10.5,
    "axes.titleweight": "bold", "axes.titlelocation": "left",
}  # fmt: skip


class Picture:
    """A figure under construction; `with Picture(7, 3) as picture: ...` and then `picture.svg`."""

    def __init__(self, width: float, height: float, across: int = 1, down: int = 1, **more: Any) -> None:
        self._style = rc_context(_STYLE)
        self._size, self._grid, self._more = (width, height), (down, across), more
        self.svg = ""

    def __enter__(self) -> Picture:
        self._style.__enter__()
        self.figure = Figure(figsize=self._size, layout="constrained")
        FigureCanvasSVG(self.figure)
        self.all_axes: list[Axes] = list(self.figure.subplots(*self._grid, squeeze=False, **self._more).ravel())
        self.axes = self.all_axes[0]
        return self

    def __exit__(self, *error: object) -> None:
        if error[0] is None:
            out = StringIO()
            self.figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
            self.svg = "\n".join(line.rstrip() for line in out.getvalue().splitlines()) + "\n"
        self._style.__exit__(None, None, None)


def whiskers(axes: Axes, at: float, low: float, high: float, colour: str) -> None:
    """An interval as a thin horizontal line."""
    axes.plot([low, high], [at, at], color=colour, linewidth=2.4, alpha=0.35, solid_capstyle="butt")


def named_rows(axes: Axes, names: Sequence[str]) -> None:
    """Names down the left side, the first on top."""
    axes.set_yticks(range(len(names)), names)
    axes.set_ylim(len(names) - 0.4, -0.6)
    axes.grid(axis="y", visible=False)
    axes.tick_params(axis="y", length=0)

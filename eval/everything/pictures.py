"""The pictures of the report: each from plain figures, one function a picture."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from eval.calibration import Bin
from eval.drawing import CEILING, INK, LINES, OTHER, OURS, PENCIL, SECOND, Picture, named_rows, whiskers
from eval.figures import Figure, Value

Named = Sequence[tuple[str, Value]]


def scores(figures: Sequence[Figure], columns: Mapping[str, Sequence[Value]]) -> str:
    """How far each figure is from its aim; columns by name, one value a figure; the first column has its interval."""
    looks = {"unseen shop": ("o", OURS), "tuned on": ("o", "white"), "second labeler": ("D", CEILING)}
    with Picture(9.4, 0.36 * len(figures) + 1.0) as picture:
        axes = picture.axes
        for name, (mark, fill) in looks.items():
            values = columns.get(name, ())
            points = [(item.value, row) for row, item in enumerate(values) if item.value is not None]
            if points:
                across, down = zip(*points, strict=True)
                edge = CEILING if mark == "D" else OURS
                axes.scatter(across, down, marker=mark, c=fill, edgecolors=edge, s=42, label=name, zorder=3)
        for row, item in enumerate(columns.get("unseen shop", ())):
            if item.interval is not None:
                whiskers(axes, row, *item.interval, OURS)
        aims = [(figure.aim, row) for row, figure in enumerate(figures) if figure.aim is not None]
        across, down = zip(*aims, strict=True)
        axes.scatter(across, down, marker="|", c=INK, s=130, linewidths=2, label="aim", zorder=2)
        named_rows(axes, [figure.name for figure in figures])
        axes.set_xlim(0.0, 1.02)
        picture.figure.legend(loc="outside upper left", ncols=4)
    return picture.svg


def bars(rows: Named, of: str, title: str = "", *, upto: float | None = None, own: str = "the program") -> str:
    """One bar a way, with its interval; the program's own bar stands out."""
    with Picture(9.4, 0.4 * len(rows) + 1.0) as picture:
        axes = picture.axes
        for row, (name, item) in enumerate(rows):
            if item.value is None:
                continue
            axes.barh(row, item.value, color=OURS if name == own else OTHER, height=0.56, alpha=0.85)
            if item.interval is not None:
                axes.plot(item.interval, [row, row], color=INK, linewidth=1.2)
            end = item.interval[1] if item.interval is not None else item.value
            axes.annotate(f"{item.value:.3g}", (end, row), (5, 0), textcoords="offset points", va="center", size=8.5)
        named_rows(axes, [name for name, _ in rows])
        axes.set_xlabel(of)
        axes.set_xlim(0, upto)
        if title:
            axes.set_title(title)
    return picture.svg


def risk(curves: Mapping[str, tuple[Sequence[float], Sequence[float]]], own: Mapping[str, tuple[float, float]]) -> str:
    """Share wrong against share answered, the surest first; a dot where the program's own decision to answer is."""
    with Picture(9.4, 3.7) as picture:
        for colour, (name, (covered, wrong)) in zip(LINES, curves.items(), strict=False):
            picture.axes.plot(covered, wrong, color=colour, label=name)
            if name in own:
                picture.axes.plot(*own[name], "o", color=colour, markersize=7)
        picture.axes.set(xlabel="share of all questions answered, the surest first", ylabel="share of these wrong")
        picture.axes.set(xlim=(0, 1), ylim=(0, None))
        picture.axes.legend(title="dot: its own decision to answer")
    return picture.svg


def calibration(groups: Mapping[str, Sequence[Bin]]) -> str:
    """Share right against the probability told, ten bins; the size of a dot is the number of questions."""
    with Picture(9.4, 3.4, across=max(1, len(groups)), sharey=True) as picture:
        for axes, (name, bins) in zip(picture.all_axes, groups.items(), strict=False):
            axes.plot([0, 1], [0, 1], color=PENCIL, linewidth=1, linestyle=":")
            told, right = [b.confidence for b in bins], [b.accuracy for b in bins]
            axes.plot(told, right, color=OURS, linewidth=1)
            axes.scatter(told, right, s=[6 + 3 * b.count for b in bins], color=OURS, alpha=0.75)
            axes.set(xlim=(0, 1.06), ylim=(-0.05, 1.08), xlabel="probability told", title=name)
        picture.axes.set_ylabel("share right")
    return picture.svg


def differences(rows: Named, of: str) -> str:
    """Changes with their intervals about zero, in percentage points."""
    with Picture(9.4, 0.34 * len(rows) + 1.0) as picture:
        axes = picture.axes
        axes.axvline(0, color=PENCIL, linewidth=1)
        for row, (_, item) in enumerate(rows):
            if item.value is None:
                continue
            if item.interval is not None:
                whiskers(axes, row, 100 * item.interval[0], 100 * item.interval[1], OURS)
            axes.plot(100 * item.value, row, "o", color=OURS, markersize=6)
        named_rows(axes, [name for name, _ in rows])
        axes.set_xlabel(of)
    return picture.svg


def rounds(groups: Mapping[str, Mapping[str, Sequence[float]]]) -> str:
    """Share of the dialogues whose best answer is right after so many rounds, by way of asking."""
    with Picture(9.4, 3.2, across=max(1, len(groups)), sharey=True) as picture:
        for axes, (title, ways) in zip(picture.all_axes, groups.items(), strict=False):
            for colour, (name, right) in zip((OURS, OTHER), ways.items(), strict=False):
                axes.plot(range(len(right)), right, marker="o", markersize=5, color=colour, label=name)
            axes.set(xlabel="rounds of asking", title=title, xticks=range(5))
        picture.axes.set_ylabel("best answer right")
        if groups:
            picture.axes.legend()
    return picture.svg


def heat(rows: Sequence[str], columns: Sequence[str], values: Sequence[Sequence[float | None]], title: str) -> str:
    """Figures as a table of colours, pale for low; each column is shaded by its own range."""
    table = np.array([[np.nan if value is None else value for value in row] for row in values], np.float64)
    low, high = np.fmin.reduce(table, axis=0), np.fmax.reduce(table, axis=0)  # nan only where a whole column is
    shades = (table - low) / np.where(high > low, high - low, 1.0)
    with Picture(9.4, 0.36 * len(rows) + 1.5) as picture:
        axes = picture.axes
        axes.imshow(shades, cmap="Blues", aspect="auto", vmin=-0.25, vmax=1.8)
        for (row, column), value in np.ndenumerate(table):
            said = "–" if np.isnan(value) else f"{value:.2f}"
            axes.text(column, row, said, ha="center", va="center", size=9)
        axes.set_xticks(range(len(columns)), columns)
        axes.set_yticks(range(len(rows)), rows)
        axes.tick_params(length=0)
        axes.grid(visible=False)
        axes.set_title(title)
    return picture.svg


def spread(groups: Mapping[str, Sequence[float]], of: str, aim: float | None = None) -> str:
    """Middle half and middle nine tenths of a measure in each group."""
    with Picture(9.4, 0.42 * len(groups) + 1.0) as picture:
        axes = picture.axes
        for row, values in enumerate(groups.values()):
            outer, inner, middle = np.percentile(values, [5, 95]), np.percentile(values, [25, 75]), np.median(values)
            axes.plot(outer, [row, row], color=OURS, linewidth=1.2)
            axes.plot(inner, [row, row], color=OURS, linewidth=7, alpha=0.45, solid_capstyle="butt")
            axes.plot(middle, row, "o", color=OURS)
        if aim is not None:
            axes.axvline(aim, color=SECOND, linewidth=1.2, linestyle="--")
        named_rows(axes, list(groups))
        axes.set_xlabel(of)
    return picture.svg

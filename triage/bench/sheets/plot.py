"""A curve as places in a drawing: a pure function from a worksheet's points to lines, ticks and words."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass

from triage.drawing import Tick, axis
from triage.physics.sheets.record import Curve, Outcome, WorkResult, shown_unit

WIDTH, HEIGHT = 380.0, 250.0  # the drawing's own units
LEFT, RIGHT, TOP, BOTTOM = 52.0, 366.0, 14.0, 204.0  # the frame within


@dataclass(frozen=True, slots=True)
class Plot:
    """All that a template needs to draw the curve and to say it in words."""

    title: str
    says: str
    x_label: str
    y_label: str
    line: str  # "x,y x,y ..." for a polyline
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    rows: tuple[tuple[str, str], ...]  # the same as a table
    here: tuple[float, float] | None = None  # the place of the present result


def plotted(result: WorkResult) -> Plot | None:
    """The plot of a result; None where the worksheet has no curve."""
    curve = result.curve
    if not curve or len(curve.points) < 2:
        return None
    x_axis = axis((x for x, _ in curve.points), LEFT, RIGHT)
    y_axis = axis((y for _, y in curve.points), BOTTOM, TOP)
    point = _present(curve, (*result.inputs, *result.results))
    return Plot(
        title=f"{_name(curve.y_label)} by {_name(curve.x_label)}",
        says=_says(curve, point),
        x_label=curve.x_label,
        y_label=curve.y_label,
        line=" ".join(f"{x_axis.place(x)},{y_axis.place(y)}" for x, y in curve.points),
        x_ticks=x_axis.marks(),
        y_ticks=y_axis.marks(),
        rows=tuple((_figure(x), _figure(y)) for x, y in curve.points),
        here=(x_axis.place(point[0]), y_axis.place(point[1])) if point else None,
    )


def _present(curve: Curve, told: Iterable[Outcome]) -> tuple[float, float] | None:
    """Where the values of this run stand on the curve; None beyond its ends."""
    xs = [x for x, _ in curve.points]
    x = next(
        (float(one.value) for one in told if _is_axis(one, curve.x_label) and not isinstance(one.value, tuple)), None
    )
    if x is None or not xs[0] <= x <= xs[-1]:
        return None
    after = max(bisect_left(xs, x), 1)
    (x0, y0), (x1, y1) = curve.points[after - 1], curve.points[after]
    return x, y0 + (y1 - y0) * ((x - x0) / (x1 - x0) if x1 > x0 else 0.0)


def _is_axis(outcome: Outcome, axis: str) -> bool:
    """True for the value that an axis is about: "tyre diameter as it rolls" in inches for "tyre diameter, in"."""
    unit = shown_unit(outcome.unit)
    return outcome.label.startswith(axis.removesuffix(f", {unit}") if unit else axis)


def _name(axis: str) -> str:
    return axis.partition(", ")[0]


def _says(curve: Curve, point: tuple[float, float] | None) -> str:
    """The curve in one sentence, for who does not see it."""
    ends = " to ".join(f"{_figure(y)} at {_figure(x)}" for x, y in (curve.points[0], curve.points[-1]))
    here = f" This result: {_figure(point[1])} at {_figure(point[0])}." if point else ""
    return f"{curve.y_label} against {curve.x_label}: from {ends}.{here}"


def _figure(value: float) -> str:
    return f"{float(f'{value:.4g}'):.12g}"

"""What every drawing needs: round axes with their ticks, and bars laid over them. Pure; templates only draw."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

TICKS = 5  # about so many on each axis


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on an axis: where, and what stands beside it."""

    at: float
    text: str


@dataclass(frozen=True, slots=True)
class Axis:
    """Values from `low` to `high` laid over the places from `start` to `end`."""

    low: float
    high: float
    start: float
    end: float
    ticks: tuple[float, ...]

    def place(self, value: float) -> float:
        """Where a value lies."""
        return round(self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start), 1)

    def marks(self) -> tuple[Tick, ...]:
        """The ticks with their places."""
        return tuple(Tick(self.place(value), f"{value:g}") for value in self.ticks)


def axis(values: Iterable[float], start: float, end: float) -> Axis:
    """An axis from a round number to a round number, around all values."""
    known = sorted(values)
    low, high = known[0], known[-1]
    if high - low < 1e-9:
        low, high = low - 1, high + 1
    step = round_step((high - low) / TICKS)
    first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
    ticks = tuple(round(number * step, 9) for number in range(first, last + 1))
    return Axis(ticks[0], ticks[-1], start, end, ticks)


def round_step(wanted: float) -> float:
    """The next 1, 2 or 5 times a power of ten that is not below `wanted`.

    >>> [round_step(value) for value in (0.013, 0.2, 3.0, 70)]
    [0.02, 0.2, 5.0, 100.0]
    """
    power = 10.0 ** floor(log10(wanted))
    return next(round(power * times, 12) for times in (1, 2, 5, 10) if power * times >= wanted * (1 - 1e-9))


# Bars


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar in the drawing's own units, with what stands below and above it."""

    x: float
    y: float
    width: float
    height: float
    label: str
    value: str


@dataclass(frozen=True, slots=True)
class BarChart:
    """All that a template needs to draw bars and to say them in words."""

    name: str  # of its file
    title: str
    says: str
    width: float
    height: float
    floor: float
    left: float
    ticks: tuple[Tick, ...]
    bars: tuple[Bar, ...]


def bar_chart(name: str, title: str, rows: Sequence[tuple[str, float]], unit: str = "") -> BarChart:
    """Bars side by side, one for each row, from nothing up to its value; labels that would touch are left out.

    Raises ValueError without rows.
    """
    if not rows:
        raise ValueError(f"'{title}' has no rows to draw.")
    width, height, left, top, floor_at = 420.0, 190.0, 34.0, 18.0, 160.0
    scale = axis((0.0, TICKS, *(value for _, value in rows)), floor_at, top)  # counts: no ticks between them
    each = (width - left - 6) / len(rows)
    every = ceil(7 * max(len(label) for label, _ in rows) / each)  # 7 units a letter
    bars = tuple(
        Bar(
            round(left + each * (n + 0.15), 1),
            scale.place(value),
            round(each * 0.7, 1),
            round(floor_at - scale.place(value), 1),
            label if (len(rows) - 1 - n) % every == 0 else "",
            f"{value:g}",
        )
        for n, (label, value) in enumerate(rows)
    )
    says = f"{title}: " + ", ".join(f"{label} {value:g}{unit}" for label, value in rows) + "."
    return BarChart(name, title, says, width, height, floor_at, left, scale.marks(), bars)

"""What a worksheet is: its inputs, its work, and the result with formula, source and caution."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

Value = float | str | tuple[float, ...]
_SHOWN_UNITS = {
    "degC": "°C",
    "degF": "°F",
    "m^3": "m³",
    "m^3/h": "m³/h",
    "cm^2": "cm²",
    "mm^2": "mm²",
    "uF": "µF",
}


@dataclass(frozen=True, slots=True)
class Input:
    """One value a worksheet needs; `unit` is what its work computes in, others are converted to it."""

    name: str
    label: str
    unit: str = ""
    default: Value | None = None  # None: must be given
    choices: tuple[str, ...] = ()  # one of these words; empty for anything else
    low: float | None = None
    high: float | None = None
    kind: Literal["number", "whole", "numbers", "text"] = "number"


@dataclass(frozen=True, slots=True)
class Outcome:
    """One labelled value with its unit; words have none."""

    label: str
    value: Value
    unit: str = ""

    @property
    def text(self) -> str:
        """The value with four significant figures and its unit, for reading.

        >>> Outcome("air", 16.204, "m^3/h").text
        '16.2 m³/h'
        """
        values = self.value if isinstance(self.value, tuple) else (self.value,)
        return f"{', '.join(map(_shown, values))} {shown_unit(self.unit)}".strip()


def shown_unit(unit: str) -> str:
    """A unit as it is printed: "°C" for "degC"."""
    return _SHOWN_UNITS.get(unit, unit)


def _shown(value: float | str) -> str:
    return value if isinstance(value, str) else f"{float(f'{value:.4g}'):.12g}"


@dataclass(frozen=True, slots=True)
class Curve:
    """Points for a plot, left to right."""

    x_label: str
    y_label: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class WorkResult:
    """One run of a worksheet, complete enough to print beside a reply."""

    title: str
    formula: str
    inputs: tuple[Outcome, ...]
    results: tuple[Outcome, ...]
    source: str
    caution: str = ""
    curve: Curve | None = None


@dataclass(frozen=True, slots=True)
class Worksheet:
    """A calculation that can be run by name; formula and source are those of the functions it uses."""

    name: str  # kebab case
    title: str
    inputs: tuple[Input, ...]
    work: Callable[..., tuple[Outcome, ...]]
    uses: tuple[Callable[..., Any], ...]
    caution: str = ""
    plot: Callable[..., Curve] | None = None

    def run(self, **values: Value) -> WorkResult:
        """Result for values in the inputs' own units, one for each input.

        Raises TypeError for a missing or unknown name, OutOfRange for a value outside the valid range.
        """
        told = tuple(Outcome(item.label, values[item.name], item.unit) for item in self.inputs if item.name in values)
        results = self.work(**values)
        curve = self.plot(**values) if self.plot else None
        return WorkResult(self.title, self.formula, told, results, self.source, self.caution, curve)

    @property
    def formula(self) -> str:
        """What each function used gives and its formula, one to a line."""
        return "\n".join(f"{_gives(function)}: {documented(function, 'Formula')}" for function in self.uses)

    @property
    def source(self) -> str:
        """Sources of the functions used, one to a line."""
        return "\n".join(dict.fromkeys(documented(function, "Source").rstrip(".") for function in self.uses))


def _gives(function: Callable[..., Any]) -> str:
    """The first sentence of a docstring, up to its first stop, colon or semicolon."""
    return re.split(r"[;:.](?:\s|$)", inspect.getdoc(function) or "")[0]


def documented(function: Callable[..., Any], part: str) -> str:
    """The words after "Formula:", "Units:", "Valid:" or "Source:" in a function's docstring.

    Raises LookupError where the docstring lacks the part: nothing is shown without its source.
    """
    found = re.search(rf"^{part}: (.*?)(?=^\w+:|^$|\Z)", inspect.getdoc(function) or "", re.MULTILINE | re.DOTALL)
    if not found:
        raise LookupError(f"{function.__name__} has no '{part}:' in its docstring")
    return " ".join(found[1].split())


def curve(x_label: str, y_label: str, xs: list[float], y: Callable[[float], float]) -> Curve:
    """Curve of a function over the given points."""
    return Curve(x_label, y_label, tuple((x, y(x)) for x in xs))


def steps(low: float, high: float, count: int = 25) -> list[float]:
    """Evenly spaced points from low to high, both included.

    >>> steps(0, 1, 3)
    [0.0, 0.5, 1.0]
    """
    return [low + (high - low) * index / (count - 1) for index in range(count)]

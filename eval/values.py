"""When is a value read the value labelled? Spelling and number formats do not matter; figures do."""

from __future__ import annotations

import re

# measures that are often told in metric units: a label of 3.9 in and a reading of 3.937 in (100 mm) are the same
_CONVERTED = frozenset({"lift", "spacer", "wheel_diameter", "top_speed", "tyre_size"})
_ROUNDING = 0.05
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_FIGURES_ONLY = re.compile(r"[\d.\s]+(?:[-x×*/–r\s][\d.\s]+)*(?:in|\"|”)?", re.IGNORECASE)
# spelling of a unit -> its plain name and what one of it is in that
_UNITS = {
    "volt": ("v", 1), "volts": ("v", 1), "vdc": ("v", 1), "vac": ("v", 1), "mv": ("v", 0.001), "amp": ("a", 1),
    "amps": ("a", 1), "ohms": ("ohm", 1), "kohm": ("ohm", 1000), "kohms": ("ohm", 1000), "inch": ("in", 1),
    "inches": ("in", 1), "specific gravity": ("sg", 1), "percent": ("%", 1), "deg f": ("f", 1), "degf": ("f", 1),
    "°f": ("f", 1), "deg c": ("c", 1), "degc": ("c", 1), "°c": ("c", 1),
}  # fmt: skip

Figures = tuple[float, ...]
Figure = tuple[float, str]  # one figure with its unit


def same_value(name: str, one: object, other: object) -> bool:
    """True when both say the same of the fact `name`.

    >>> same_value("tyre_size", "18x8.5-8", "18 X 8.50-8"), same_value("pack_voltage", 48, "48.0")
    (True, True)
    """
    first, second = plain(one), plain(other)
    if isinstance(first, str) or isinstance(second, str):
        return first == second
    margin = _ROUNDING + 1e-9 if name in _CONVERTED else 1e-9
    return len(first) == len(second) and all(abs(a - b) <= margin for a, b in zip(first, second, strict=True))


def plain(value: object) -> str | Figures:
    """A value without its spelling: figures for a number, a range or a tyre code, else words in lower case."""
    if isinstance(value, tuple | list):
        return tuple(float(item) for item in value)
    if isinstance(value, int | float):
        return (float(value),)
    text = " ".join(str(value).casefold().split())
    if _FIGURES_ONLY.fullmatch(text):
        return tuple(float(figure) for figure in _NUMBER.findall(text))
    return " ".join(re.split(r"[\s_-]+", text))


def figures(value: object, unit: str) -> list[Figure]:
    """Each figure of a measurement in a plain unit.

    >>> figures(5, "kohm"), figures("8.4-8.5", "V")
    ([(5000.0, 'ohm')], [(8.4, 'v'), (8.5, 'v')])
    """
    name, scale = _UNITS.get(unit.strip().casefold(), (unit.strip().casefold(), 1))
    values = plain(value)
    return [] if isinstance(values, str) else [(item * scale, name or _of_number(item)) for item in values]


def _of_number(value: float) -> str:
    """A hydrometer reading has no unit: a label may leave "sg" out."""
    return "sg" if 1.0 < value < 1.35 else ""

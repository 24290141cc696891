"""The edge of the physics room: worksheets by name, and values as people write them ("38.2 V", "450 mm")."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from math import inf, isfinite, sqrt
from unicodedata import normalize

import pint

from triage.physics.limits import OutOfRange
from triage.physics.sheets import battery, charge, control, drive, packs, wheel, wire
from triage.physics.sheets.record import Curve, Input, Outcome, Value, WorkResult, Worksheet

__all__ = [
    "WORKSHEETS",
    "Curve",
    "Input",
    "InputError",
    "OutOfRange",
    "Outcome",
    "Value",
    "WorkResult",
    "Worksheet",
    "advice",
    "find_worksheet",
    "parse_input",
    "value_of",
    "work",
]

WORKSHEETS: tuple[Worksheet, ...] = (
    *battery.SHEETS,
    *packs.SHEETS,
    *charge.SHEETS,
    *drive.SHEETS,
    *wire.SHEETS,
    *control.SHEETS,
    *wheel.SHEETS,
)

_QUANTITY = re.compile(r"([-+]?(?:\d{1,3}(?:,\d{3})+|\d+)?(?:\.\d+)?(?:[eE][-+]?\d{1,3})?)\s*(.*)", re.DOTALL)
_UNIT = re.compile(r"[a-zA-ZμΩ°%\"·/* ]*(?:\^?[23])?(?:/[a-zA-Z]+)?")  # after NFKC: one mu, one omega
_ALIASES = {
    "v": "V", "volt": "V", "a": "A", "amp": "A", "amps": "A", "ah": "Ah", "amp hours": "Ah", "w": "W",
    '"': "in", "inches": "in", "kmh": "km/h", "kph": "km/h", "km/hr": "km/h", "k": "kohm",
    "m3": "m^3", "ft3": "ft^3", "cu ft": "ft^3", "lbs": "lb", "deg c": "degC", "deg f": "degF",
}  # fmt: skip
_TEMPERATURES = {"c": "degC", "f": "degF"}  # elsewhere these letters are a charge and a capacitance
_EXAMPLES = {
    "in": "18 in or 457 mm", "mm": "12 mm or 0.5 in", "m": "3 m or 10 ft", "mph": "15 mph or 24 km/h",
    "degC": "20 degC or 68 degF", "kg": "500 kg or 1100 lb", "h": "2 h or 120 min",
    "ohm": "4700 ohm, 4.7 kohm or open",
}  # fmt: skip


class InputError(ValueError):
    """A value that cannot be read, has the wrong kind of unit, is missing, or belongs to no input."""


@cache
def _units() -> pint.UnitRegistry[float]:
    """The unit registry, built on first use: it takes a third of a second."""
    return pint.UnitRegistry(cache_folder=None)


def find_worksheet(name: str) -> Worksheet:
    """Worksheet of a name; an unknown name answers with those there are.

    Raises InputError.
    """
    found = next((sheet for sheet in WORKSHEETS if sheet.name == name), None)
    if not found:
        names = ", ".join(sheet.name for sheet in WORKSHEETS)
        raise InputError(f"No worksheet '{name}'. There are: {names}.")
    return found


def work(name: str, given: Mapping[str, str]) -> WorkResult:
    """Run a worksheet on values as people write them, by input name; what is not given takes its default.

    Raises InputError for values that cannot be read, OutOfRange for values outside the valid range.

    >>> work("speed", {"rpm": "3000", "gear": "12.44", "tyre": "18 in"}).results[0].text
    '12.91 mph'
    """
    sheet = find_worksheet(name)
    known = [item.name for item in sheet.inputs]
    for extra in sorted(set(given) - set(known)):
        raise InputError(f"{name} has no input '{extra}'. Its inputs are: {', '.join(known)}.")
    return sheet.run(**{item.name: value_of(item, given.get(item.name, "")) for item in sheet.inputs})


def value_of(item: Input, text: str) -> Value:
    """Value of an input as people write it; its default where nothing is written. Raises InputError, OutOfRange."""
    if text.strip():
        return parse_input(text, item)
    if item.default is None:
        raise InputError(f"{_told(item)} is missing; {advice(item)}.")
    return item.default


def parse_input(text: str, item: Input) -> Value:
    """Value of an input as people write it, in the input's own unit; a bare number is taken to be in it.

    Raises InputError when it cannot be read or is of the wrong kind, OutOfRange outside the input's range.

    >>> parse_input("457.2 mm", Input("tyre", "tyre diameter", "in"))
    18.0
    """
    if item.choices:
        return _choice(text, item)
    if item.kind == "text":
        return text.strip()
    if item.kind == "numbers":
        return tuple(_number(part, item) for part in re.split(r"[;\s]+|,\s+", _glued(text)) if part)
    return _number(text, item)


def _glued(text: str) -> str:
    """Each number with its unit beside it: "6.3 V 6.2 V" as "6.3V 6.2V"."""
    return re.sub(r"(\d)\s+(?=[a-zA-Z])", r"\1", text.strip())


def _choice(text: str, item: Input) -> str:
    wanted = text.strip().lower().removesuffix(item.unit.lower()).strip()
    if wanted not in item.choices:
        raise InputError(f"{_told(item)} is '{text}'; {advice(item)}.")
    return wanted


def _number(text: str, item: Input) -> float:
    if item.high == inf and text.strip().lower() in ("open", "ol"):
        return inf
    number, unit = _split(text, item)
    value = _converted(number, unit, text, item) if unit else number
    if item.kind == "whole":
        return _whole(value, text, item)
    return _in_range(value, item)


def _split(text: str, item: Input) -> tuple[float, str]:
    match = _QUANTITY.fullmatch(normalize("NFKC", text).strip())
    try:
        number = float(match[1].replace(",", "")) if match else inf
    except ValueError:
        number = inf
    if not match or abs(number) == inf or not _UNIT.fullmatch(match[2]) or len(match[2]) > 20:
        raise InputError(f"{_told(item)}: '{text}' is not a number; {advice(item)}.")
    return number, match[2].strip()


def _converted(number: float, unit: str, text: str, item: Input) -> float:
    if not item.unit:
        raise InputError(f"{_told(item)} has no unit, but '{text}' has; give the bare number.")
    try:
        return _value_in(number, unit, item.unit)
    except (pint.PintError, ArithmeticError, AttributeError, TypeError, ValueError, KeyError):
        raise InputError(f"{_told(item)}: '{text}' cannot be turned into {item.unit}; {advice(item)}.") from None


def _value_in(number: float, unit: str, target: str) -> float:
    wanted = unit.lower()
    name = _TEMPERATURES.get(wanted) if target.startswith("deg") else None
    quantity = _units().Quantity(number, name or _ALIASES.get(wanted, unit))
    return float(round(quantity.to(target).magnitude, 9))


def _whole(value: float, text: str, item: Input) -> int:
    if value != int(value):
        raise InputError(f"{_told(item)} is '{text}'; give a whole number.")
    return int(_in_range(value, item))


def _in_range(value: float, item: Input) -> float:
    low, high = (-inf if item.low is None else item.low), (inf if item.high is None else item.high)
    if not low <= value <= high:
        raise OutOfRange(_told(item), f"{value:g}", f"{low:g} to {high:g} {item.unit}".strip())
    return value


def _told(item: Input) -> str:
    return f"{item.label} ({item.name})"


def advice(item: Input) -> str:
    """How to write the value of an input."""
    if item.choices:
        return f"choose one of: {', '.join(item.choices)}"
    if item.kind == "text":
        return "give it as it is written on the part"
    if item.kind == "numbers":
        return f"write the numbers with spaces between them, {item.unit or 'bare'}"
    if not item.unit:
        return "give a bare number"
    return f"write for example {_EXAMPLES.get(item.unit) or f'{_example(item):g} {item.unit}'}"


def _example(item: Input) -> Value:
    """The default, else a round number within the range: "20 V" for 3 to 110 V."""
    if item.default is not None:
        return item.default
    low, high = item.low or 1.0, item.high or 1.0
    return float(f"{sqrt(low * high):.1g}") if low > 0 and isfinite(high) else low

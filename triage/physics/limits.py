"""Ranges inside which a formula holds: a value outside one is refused, never stretched to fit."""

from __future__ import annotations

from collections.abc import Collection


class UnreadableCode(ValueError):
    """A tyre, gauge or thread code in no known notation."""


class OutOfRange(ValueError):
    """A value outside the range in which a formula or table is valid.

    Carries `name`, `value` and `allowed` (the range or the list of choices, as words).
    """

    def __init__(self, name: str, value: object, allowed: str) -> None:
        super().__init__(f"{name} is {value}; allowed: {allowed}.")
        self.name, self.value, self.allowed = name, value, allowed


def within(name: str, value: float, low: float, high: float, unit: str = "") -> float:
    """Give the value back when low <= value <= high, else raise OutOfRange (not-a-number never passes).

    >>> within("grade", 10.0, -40, 40, "%")
    10.0
    """
    if not low <= value <= high:
        raise OutOfRange(name, value, f"{low:g} to {high:g} {unit}".strip())
    return value


def above(name: str, value: float, low: float, unit: str = "") -> float:
    """Give the value back when it is finite and greater than low, else raise OutOfRange."""
    if not low < value < float("inf"):
        raise OutOfRange(name, value, f"more than {low:g} {unit}".strip())
    return value


def one_of(name: str, value: str, allowed: Collection[str], why: str = "") -> str:
    """Give the value back when it is an allowed word, else raise OutOfRange; `why` follows the list."""
    if value not in allowed:
        raise OutOfRange(name, value, ", ".join(allowed) + (f" ({why})" if why else ""))
    return value

"""Which branches of an answer ("If it is a 36 V cart: ...") still apply to what is known."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from triage.model import Fact, FactValue, Standing

ReadCondition = Callable[[str], Mapping[str, tuple[FactValue, ...]]]  # "it is a 36 V cart" -> {"pack_voltage": (36,)}

# Facts that tell one cart, or one state of it, from another. A speed or a size in a condition is a limit, not a name.
TELLING = frozenset(
    "powertrain make model year pack_voltage battery_count battery_voltage battery_chemistry controller "
    "controller_type motor direction_switch throttle_sensor wheel_stud solenoid_click engine_turns".split()
)
_ALTERNATIVES = re.compile(r",\s*(?:or\s+)?|\s+or\s+")
_ASKERS_PLAN = re.compile(r"^you(?!\s+have\b|'ve\b)", re.IGNORECASE)  # "you want 48 V" is a wish, not the cart
_OR_LATER = re.compile(r"\b(?:or newer|or later|and later|on|onwards|from|since|after)\b", re.IGNORECASE)
_OR_EARLIER = re.compile(r"\b(?:or older|or earlier|and earlier|before|until|up to)\b", re.IGNORECASE)


def still_applies(condition: str, holding: Mapping[str, Fact], read: ReadCondition) -> bool:
    """False when a firmly known fact speaks against every alternative the condition names."""
    if _ASKERS_PLAN.match(condition):
        return True
    return any(_may_hold(part, holding, read) for part in _alternatives(condition))


def _alternatives(condition: str) -> list[str]:
    """ "a Tarvik, a Hollin or a Courier" is three; "from 2008 or newer" is one, and so is "a Courier, 48 V"."""
    if not re.search(r"\bor\b(?! (?:newer|later|older|earlier)\b)", condition):
        return [condition]
    return [part for part in _ALTERNATIVES.split(condition) if part]


def _may_hold(part: str, holding: Mapping[str, Fact], read: ReadCondition) -> bool:
    told = {name: values for name, values in read(part).items() if name in TELLING}
    return all(_agrees(name, values, part, holding.get(name)) for name, values in told.items())


def _agrees(name: str, values: tuple[FactValue, ...], part: str, fact: Fact | None) -> bool:
    if fact is None or fact.standing is Standing.HEDGED:
        return True
    if name == "year":
        return _in_years(values, part, fact.value)
    return any(_same(value, fact.value) for value in values)


def _same(value: FactValue, known: FactValue) -> bool:
    """A plain model name may stand for its variants: "a Ridge" for a "Ridge P"."""
    if isinstance(value, int | float) and isinstance(known, int | float):
        return float(value) == float(known)
    short, long = sorted((str(value).casefold(), str(known).casefold()), key=len)
    return long == short or long.startswith(f"{short} ")


def _in_years(values: tuple[FactValue, ...], part: str, known: FactValue) -> bool:
    low, high = _years(known)
    for value in values:
        first, last = _years(value)
        if _OR_LATER.search(part):
            last = 9999
        elif _OR_EARLIER.search(part):
            first = 0
        if low <= last and high >= first:
            return True
    return False


def _years(value: FactValue) -> tuple[float, float]:
    low, _, high = str(value).partition("-")
    return float(low), float(high or low)

"""What catalogue entries say under a fact's name, whether a told fact fits, and how it reads in a sentence."""

from __future__ import annotations

from collections.abc import Iterable

from triage.conflicts.told import Told, chemistry_of, number, same
from triage.conflicts.wording import article, listed, plain
from triage.model import Fact, FactValue
from triage.pack.schema import Vehicle

_TELLING = ("year", "powertrain", "pack_voltage", "battery_chemistry")
_ELECTRIC_ONLY = frozenset({"pack_voltage", "battery_chemistry", "controller_type", "throttle_sensor"})
MOST_ENTRIES = 4  # named in one sentence


def fits(vehicle: Vehicle, fact: Fact, same_voltage: float) -> bool:
    """Whether a told fact can be true of an entry; what the catalogue leaves open always can."""
    if fact.name == "year":
        first, last = years_of(fact.value) or (0, 9999)
        return first <= (vehicle.year_to or 9999) and last >= (vehicle.year_from or 0)
    value = listed_value(vehicle, fact.name)
    if value is None:
        return not (vehicle.powertrain == "petrol" and fact.name in _ELECTRIC_ONLY)
    if fact.name == "battery_chemistry":
        return fact.value == "lithium" or value != "lithium"  # lead was swapped for lithium often, never back
    told = number(fact)
    if told and isinstance(value, int | float):
        return 1 / same_voltage <= told / value <= same_voltage
    return same(str(value), fact.value)


def likely(told: Told) -> tuple[Vehicle, ...]:
    """The entries of the named model that what else was told leaves; all of them when it leaves none."""
    facts = [fact for name in _TELLING if (fact := told.best(name)) and name not in told.excused]
    spread = told.limit("same_voltage") or 1.0
    return tuple(v for v in told.family if all(fits(v, fact, spread) for fact in facts)) or told.family


def listed_value(vehicle: Vehicle, name: str) -> FactValue | None:
    """What an entry says under a fact's name; None where it says nothing."""
    if name in ("battery_count", "battery_voltage"):
        count, _, each = (vehicle.batteries or "").partition("x")
        return None if not count else float(count if name == "battery_count" else each)
    if name == "battery_chemistry":
        return chemistry_of(vehicle)
    value: FactValue | None = getattr(vehicle, name, None) or None
    return value


def years_of(value: FactValue) -> tuple[int, int] | None:
    """First and last year told: 2009, or the range "2005-2006"; None when it is neither.

    >>> years_of(2009), years_of("1996-1999"), years_of("old")
    ((2009, 2009), (1996, 1999), None)
    """
    if isinstance(value, int | float):
        return int(value), int(value)
    first, _, last = str(value).partition("-")
    return (int(first), int(last or first)) if first.isdigit() and (last or first).isdigit() else None


def described(vehicles: Iterable[Vehicle], names: Iterable[str]) -> str:
    """ "the catalogue has the Lark made from 1996 to 2007 with 36 V and the Lark made from 2008 with 48 V"."""
    asked, shown = tuple(names), list(vehicles)
    if any(vehicle.powertrain == "electric" for vehicle in shown) and _ELECTRIC_ONLY & {*asked}:
        shown = [vehicle for vehicle in shown if vehicle.powertrain == "electric"]
    entries = dict.fromkeys(_entry(vehicle, asked) for vehicle in shown)
    return f"the catalogue has {listed(list(entries)[:MOST_ENTRIES])}"


def _entry(vehicle: Vehicle, names: tuple[str, ...]) -> str:
    parts = [_part(vehicle, name) for name in names]
    return " ".join(part for part in (f"the {vehicle.make} {vehicle.model}", *parts) if part)


def _part(vehicle: Vehicle, name: str) -> str:
    if name == "year":
        return f"made {_made(vehicle)}"
    if name == "batteries":
        return "with {} batteries of {} V".format(*str(vehicle.batteries).split("x"))
    value = listed_value(vehicle, name)
    if value is None:
        return "without a traction pack" if vehicle.powertrain == "petrol" and name in _ELECTRIC_ONLY else ""
    words = _WORDS[name].format(plain(value))
    return f"with {article(words) if name in _SINGULAR else words}"


_WORDS = {
    "powertrain": "{} power",
    "pack_voltage": "{} V",
    "battery_chemistry": "{} batteries",
    "battery_count": "{} batteries",
    "battery_voltage": "{} V batteries",
    "direction_switch": "{}",
    "throttle_sensor": "{} pedal sensor",
    "controller_type": "{} controller",
}
_SINGULAR = frozenset({"direction_switch", "throttle_sensor", "controller_type"})


def _made(vehicle: Vehicle) -> str:
    if vehicle.year_from is None:
        return f"until {vehicle.year_to}" if vehicle.year_to else "in years it does not give"
    return f"from {vehicle.year_from} to {vehicle.year_to}" if vehicle.year_to else f"from {vehicle.year_from} on"

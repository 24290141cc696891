"""Hold the facts of one vehicle against the catalogue, against each other and against arithmetic."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from triage.model import Conflict, Fact, FactValue
from triage.pack import Pack
from triage.pack.schema import Vehicle

SPEED_MARGIN = 1.25  # a stock vehicle downhill, on a new pack; common practice, no source
CHARGER_RATIO = 1.2  # a charger is named after its pack

Facts = Mapping[str, Fact]
Rule = Callable[[Facts, Sequence[Vehicle]], Iterator[Conflict]]


def find_conflicts(facts: Facts, pack: Pack) -> tuple[Conflict, ...]:
    """Conflicts among what holds of one vehicle, in a fixed order."""
    named = [vehicle for vehicle in pack.vehicles if _is_named(vehicle, facts)]
    return tuple(conflict for rule in _RULES for conflict in rule(facts, named))


def _is_named(vehicle: Vehicle, facts: Facts) -> bool:
    make, model = facts.get("make"), facts.get("model")
    if model is None:
        return False
    return _same(vehicle.model, model.value) and (make is None or _same(vehicle.make, make.value))


def _same(a: str, b: FactValue) -> bool:
    return a.casefold() == str(b).casefold()


def _year(facts: Facts, named: Sequence[Vehicle]) -> Iterator[Conflict]:
    told = _years(facts.get("year"))
    if not told or not named:
        return
    if any(told[0] <= (v.year_to or 9999) and told[1] >= (v.year_from or 0) for v in named):
        return
    made = " and ".join(_made(vehicle) for vehicle in named)
    model = f"{named[0].make} {named[0].model}"
    yield Conflict(
        "year_outside_production",
        ("year", "model"),
        f"The {model} was made {made}, so {_shown(facts['year'])} cannot be its year.",
        f"Could you check the year on the plate? The {model} was made {made}.",
        "catalogue",
    )


def _made(vehicle: Vehicle) -> str:
    if vehicle.year_to is None:
        return f"from {vehicle.year_from}"
    return f"from {vehicle.year_from} to {vehicle.year_to}"


def _years(fact: Fact | None) -> tuple[int, int] | None:
    if fact is None:
        return None
    low, _, high = str(fact.value).partition("-")
    return (int(low), int(high or low)) if low.isdigit() else None


def _layout(facts: Facts, named: Sequence[Vehicle]) -> Iterator[Conflict]:
    count, each, total = (_number(facts, name) for name in ("battery_count", "battery_voltage", "pack_voltage"))
    if not (count and each and total) or count * each == total or _value(facts, "battery_chemistry") == "lithium":
        return
    yield Conflict(
        "voltage_against_batteries",
        ("pack_voltage", "battery_count", "battery_voltage"),
        f"{count:g} batteries of {each:g} V in series make {count * each:g} V, not {total:g} V.",
        "Could you count the batteries and the filler caps on one of them (3 caps is 6 V, 4 is 8 V, 6 is 12 V)?",
        "arithmetic",
    )


def _count_alone(facts: Facts, named: Sequence[Vehicle]) -> Iterator[Conflict]:
    """A count that makes the told pack with no usual battery."""
    count, total = _number(facts, "battery_count"), _number(facts, "pack_voltage")
    if not count or not total or "battery_voltage" in facts or _value(facts, "battery_chemistry") == "lithium":
        return
    if total / count not in (2, 4, 6, 8, 12) and count > 2:
        yield Conflict(
            "voltage_against_count",
            ("pack_voltage", "battery_count"),
            f"{count:g} batteries cannot make {total:g} V: none is made with {total / count:.1f} V.",
            "Could you count the batteries again, and the filler caps on one of them?",
            "arithmetic",
        )


def _too_few(facts: Facts, named: Sequence[Vehicle]) -> Iterator[Conflict]:
    count, total = _number(facts, "battery_count"), _number(facts, "pack_voltage")
    if count and total and count <= 2 and total >= 36 and _value(facts, "battery_chemistry") not in ("lithium", None):
        yield Conflict(
            "too_few_batteries",
            ("battery_count", "pack_voltage"),
            f"{count:g} lead batteries are too few for {total:g} V.",
            "How many batteries are there in all?",
            "arithmetic",
        )


def _powertrain(facts: Facts, named: Sequence[Vehicle]) -> Iterator[Conflict]:
    told = facts.get("powertrain")
    if told is None:
        return
    listed = {vehicle.powertrain for vehicle in named}
    if listed and told.value not in listed:
        model = f"{named[0].make} {named[0].model}"
        yield Conflict(
            "powertrain_against_model",
            ("powertrain", "model"),
            f"The {model} is {' or '.join(sorted(listed))}, not {told.value}.",
            "Does it run on batteries or on petrol?",
            "catalogue",
        )
    if told.value == "petrol" and ("pack_voltage" in facts or "charger_voltage" in facts):
        name = "pack_voltage" if "pack_voltage" in facts else "charger_voltage"
        yield Conflict(
            "petrol_with_pack",
            ("powertrain", name),
            f"A petrol vehicle has one 12 V battery; {_shown(facts[name])} points to an electric one.",
            "Does it run on batteries or on petrol?",
            "common practice, no source",
        )


def _voltage(facts: Facts, named: Sequence[Vehicle]) -> Iterator[Conflict]:
    told = _number(facts, "pack_voltage")
    listed = sorted({vehicle.pack_voltage for vehicle in named if vehicle.pack_voltage})
    if told and listed and told not in listed:
        model = f"{named[0].make} {named[0].model}"
        yield Conflict(
            "voltage_against_model",
            ("pack_voltage", "model"),
            f"The {model} left the factory with {' or '.join(f'{v:g} V' for v in listed)}, not {told:g} V.",
            "Has the pack been converted, or could the voltage be another one?",
            "catalogue",
        )


def _speed(facts: Facts, named: Sequence[Vehicle]) -> Iterator[Conflict]:
    told = _number(facts, "top_speed")
    listed = [vehicle.top_speed_mph for vehicle in named if vehicle.top_speed_mph]
    changed = any(_value(facts, name) == "modified" for name in ("controller", "motor")) or "modification" in facts
    if told and listed and told > max(listed) * SPEED_MARGIN and not changed:
        model = f"{named[0].make} {named[0].model}"
        yield Conflict(
            "speed_beyond_stock",
            ("top_speed", "model"),
            f"A stock {model} does about {max(listed):g} mph; {told:g} mph needs changes nobody has mentioned.",
            "Has the motor, the controller or the gearing been changed?",
            "catalogue",
        )


def _charger(facts: Facts, named: Sequence[Vehicle]) -> Iterator[Conflict]:
    charger, pack = _number(facts, "charger_voltage"), _number(facts, "pack_voltage")
    if charger and pack and not 1 / CHARGER_RATIO < charger / pack < CHARGER_RATIO:
        yield Conflict(
            "charger_against_pack",
            ("charger_voltage", "pack_voltage"),
            f"A {charger:g} V charger does not belong on a {pack:g} V pack.",
            "What does the plate on the charger say?",
            "common practice, no source",
        )


def _value(facts: Facts, name: str) -> FactValue | None:
    fact = facts.get(name)
    return fact.value if fact else None


def _number(facts: Facts, name: str) -> float | None:
    value = _value(facts, name)
    return float(value) if isinstance(value, int | float) else None


def _shown(fact: Fact) -> str:
    value = f"{fact.value:g}" if isinstance(fact.value, int | float) else str(fact.value)
    return f"{value} {fact.unit}".strip()


_RULES: tuple[Rule, ...] = (_year, _powertrain, _voltage, _layout, _count_alone, _too_few, _speed, _charger)

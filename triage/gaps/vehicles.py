"""Which vehicles an asker may have, how likely each is, and what is safely known whichever it is.

People leave the rest of a name off: a "Lark" may be a longer-named sibling. What the catalogue lists for the plain name
alone is safe only where all the siblings that fit are at one on it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from triage.model import Fact, FactValue, Standing
from triage.pack.schema import Vehicle

PLAIN = 0.5  # share of owners who leave off the rest of a longer name; common practice, no source
DOUBTED = 0.2  # a value that goes against a hedged word; common practice, no source
NEAR_YEARS = 2  # "about 2004" may be two years off
OPEN_ENDED = 12  # years a model is taken to be made where the catalogue gives one end only
NAMES = ("make", "model")
PACK = ("pack_voltage", "battery_count")  # told of a vehicle that has a pack
ENGINE_BATTERY = 12  # V; one of another voltage is of a pack; common practice, no source
LISTED = (
    "powertrain", "pack_voltage", "battery_chemistry", "battery_count", "battery_voltage", "controller_type",
    "direction_switch", "throttle_sensor", "wheel_stud", "tyre_size",
)  # fmt: skip

ValueOf = Callable[[Vehicle, str], FactValue | None]  # what the catalogue says of a vehicle under a fact's name
Denied = Mapping[str, Collection[object]]
Years = tuple[int, int]


@dataclass(frozen=True, slots=True)
class State:
    """A vehicle the asker may have: its share, and the values of its facts; "year" holds a first and a last one."""

    share: float
    values: Mapping[str, FactValue]


@dataclass(frozen=True, slots=True)
class Situation:
    """The vehicles it may be (shares add up to 1), and the facts that hold whichever it is."""

    states: tuple[State, ...]
    firm: Mapping[str, Fact]


def situation(
    held: Mapping[str, Fact],
    vehicles: Sequence[Vehicle],
    value_of: ValueOf,
    denied: Denied | None = None,
    cuts: Collection[int] = (),
) -> Situation:
    """Weigh the catalogue's vehicles by what holds. A make or model it does not list stays out of the comparison.

    `cuts` are years from which another answer applies: a vehicle made before and after is taken apart there.
    """
    told = _listed_names({name: fact for name, fact in held.items() if not _from_catalogue(fact)}, vehicles)
    for least in (0.0, DOUBTED):  # nothing fits at all: something was changed, or told wrongly
        weighed = [(vehicle, _weight(vehicle, told, value_of, denied or {}, least)) for vehicle in vehicles]
        fitting = [(vehicle, weight) for vehicle, weight in weighed if weight > 0]
        if fitting:
            break
    firm = told | {name: fact for name, fact in held.items() if name not in told and _agreed(fact, fitting, value_of)}
    named = any(name in told for name in NAMES) or not any(name in held for name in NAMES)
    states = [state for vehicle, weight in fitting for state in _states(vehicle, weight, told, value_of, cuts, named)]
    return Situation(_merged(states), firm)


def _from_catalogue(fact: Fact) -> bool:
    return fact.standing is Standing.INFERRED and fact.basis.startswith("catalogue")


def _listed_names(told: Mapping[str, Fact], vehicles: Sequence[Vehicle]) -> dict[str, Fact]:
    """What was told, without a make or model that no vehicle of the catalogue goes by."""
    kept, among = dict(told), list(vehicles)
    for name in NAMES:
        if name in kept:
            known = [vehicle for vehicle in among if _named(vehicle, name, kept[name]) > 0]
            among = known or among
            if not known:
                del kept[name]
    return kept


def _named(vehicle: Vehicle, name: str, fact: Fact) -> float:
    said = str(fact.value).casefold()
    if name == "make":
        return float(vehicle.make.casefold() == said)
    if said in {name.casefold() for name in (vehicle.model, *vehicle.aliases)}:
        return 1.0
    return PLAIN if vehicle.model.casefold().startswith(f"{said} ") else 0.0


def _weight(vehicle: Vehicle, told: Mapping[str, Fact], value_of: ValueOf, denied: Denied, least: float) -> float:
    weight = 1.0
    for name in NAMES:
        weight *= _named(vehicle, name, told[name]) if name in told else 1.0
    if vehicle.pack_voltage is None and _has_pack(told):
        weight *= least
    for name in LISTED:
        listed = value_of(vehicle, name)
        if listed is None:
            continue
        if any(same(listed, value) for value in denied.get(name, ())):
            weight *= least
        if name in told and not same(listed, told[name].value):
            weight *= max(least, DOUBTED if told[name].standing is Standing.HEDGED else 0.0)
    return weight * max(least, sum(_year_weights(vehicle, told.get("year")).values()))


def _has_pack(told: Mapping[str, Fact]) -> bool:
    each = told.get("battery_voltage")
    return any(name in told for name in PACK) or (each is not None and each.value != ENGINE_BATTERY)


def _year_weights(vehicle: Vehicle, told: Fact | None) -> dict[int, float]:
    """The years a vehicle may be of, each with its share of all it was made in that what was told allows."""
    first, last = _made(vehicle)
    years = range(first, last + 1)
    if told is None:
        return dict.fromkeys(years, 1 / len(years))
    low, high = span_of(told.value)
    if told.standing is not Standing.HEDGED:
        return {year: 1.0 for year in years if low <= year <= high}
    near = {year: 1.0 if low - NEAR_YEARS <= year <= high + NEAR_YEARS else DOUBTED / len(years) for year in years}
    return {year: weight / (high - low + 1 + 2 * NEAR_YEARS) for year, weight in near.items()}


def _made(vehicle: Vehicle) -> Years:
    first, last = vehicle.year_from, vehicle.year_to
    if first is None:
        last = last or 2020
        return last - OPEN_ENDED, last
    return first, last or first + OPEN_ENDED


def span_of(value: FactValue) -> Years:
    """First and last year of a value: 2009, or "2005-2006"."""
    low, _, high = str(value).partition("-")
    return int(float(low)), int(float(high or low))


def _agreed(fact: Fact, fitting: Sequence[tuple[Vehicle, float]], value_of: ValueOf) -> bool:
    if not _from_catalogue(fact):
        return False
    listed = (vehicle.make if fact.name == "make" else value_of(vehicle, fact.name) for vehicle, _ in fitting)
    return all(value is not None and same(value, fact.value) for value in listed)


def _states(
    vehicle: Vehicle,
    weight: float,
    told: Mapping[str, Fact],
    value_of: ValueOf,
    cuts: Collection[int],
    named: bool,
) -> Iterator[State]:
    names = {"make": vehicle.make, "model": vehicle.model} if named else {}
    listed = {name: value_of(vehicle, name) for name in LISTED}
    values = names | {name: value for name, value in listed.items() if value is not None}
    values |= {
        name: fact.value for name, fact in told.items() if name in LISTED and fact.standing is not Standing.HEDGED
    }
    years = _year_weights(vehicle, told.get("year"))
    for low, high in _pieces(sorted(years) or [*_made(vehicle)], cuts):
        share = sum(value for year, value in years.items() if low <= year <= high) if years else 1.0
        yield State(weight * share / (sum(years.values()) or 1.0), values | {"year": f"{low}-{high}"})


def _pieces(years: Sequence[int], cuts: Collection[int]) -> Iterator[Years]:
    inner = sorted({cut for cut in cuts if years[0] < cut <= years[-1]})
    for low, high in pairwise([years[0], *inner, years[-1] + 1]):
        yield low, high - 1


def _merged(states: Sequence[State]) -> tuple[State, ...]:
    """Vehicles that nothing tells apart as one; shares add up to 1."""
    total = sum(state.share for state in states) or 1.0
    joined: dict[tuple[object, ...], State] = {}
    for state in states:
        key = tuple(sorted((name, str(value)) for name, value in state.values.items()))
        before = joined.get(key)
        joined[key] = replace(state, share=(before.share if before else 0.0) + state.share / total)
    return tuple(joined.values())


def same(a: object, b: object) -> bool:
    """36 and 36.0 are the same, and so are "AGM" and "agm"."""
    if isinstance(a, int | float) and isinstance(b, int | float):
        return float(a) == float(b)
    return str(a).casefold() == str(b).casefold()

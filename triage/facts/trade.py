"""What the extractors need from the pack, worked out once: usual values and vehicle names."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterable, Iterator
from dataclasses import dataclass

from triage.language.entries import Entry
from triage.language.numbers import spelt
from triage.language.tokens import tokenise
from triage.pack import Pack
from triage.pack.schema import FactKind, Vehicle

# keys of words.parts that a rule has to know by role
BATTERY_PARTS = frozenset({"battery", "battery pack"})
CHARGER_PARTS = frozenset({"charger"})
TYRE_PARTS = frozenset({"tyre"})
WHEEL_PARTS = frozenset({"wheel"})
CONTROLLER_PARTS = frozenset({"controller"})
METER_PARTS = frozenset({"meter"})  # they show a reading and are not what is measured
_SPOKEN = 100  # a larger figure is no figure of a name
CELL_VOLTS = 3.2  # V, nominal, of one lithium iron phosphate cell
# words that stand before the name of a vehicle
DETERMINERS = frozenset(
    "my our a an the his her their your this that old own new used is its petrol gas electric leccy".split()
)


@dataclass(frozen=True, slots=True)
class Trade:
    """Usual values of closed facts."""

    pack_voltages: frozenset[float]
    battery_voltages: frozenset[float]
    block_voltages: frozenset[float]  # one battery of pack voltage
    controller_currents: frozenset[float]
    wheel_limit: float  # in; a "tyre" no bigger than this is a wheel
    year_low: int
    year_high: int

    @classmethod
    def of(cls, pack: Pack) -> Trade:
        """Collect the usual values from the facts file and the catalogue."""
        years = pack.facts.get("year")
        wheels = pack.facts.get("wheel_diameter")
        low = int(years.low) if years and years.low else 1960
        return cls(
            pack_voltages=_values(pack.facts.get("pack_voltage")) | _catalogue_voltages(pack),
            battery_voltages=_values(pack.facts.get("battery_voltage")),
            block_voltages=frozenset(round(cells * CELL_VOLTS, 1) for cells in (8, 12, 16, 20, 24)),
            controller_currents=_values(pack.facts.get("controller_current")),
            wheel_limit=wheels.high if wheels and wheels.high else 15,
            year_low=low,
            year_high=int(years.high) if years and years.high else 2030,
        )


def _values(kind: FactKind | None) -> frozenset[float]:
    return frozenset(float(value) for value in kind.values) if kind else frozenset()


def _catalogue_voltages(pack: Pack) -> frozenset[float]:
    return frozenset(vehicle.pack_voltage for vehicle in pack.vehicles if vehicle.pack_voltage)


def vehicle_names(pack: Pack) -> Iterable[tuple[str, Entry]]:
    """Phrases that name a make or a model: ("name", "make", ...) and ("name", "model", ...)."""
    models = {vehicle.model for vehicle in pack.vehicles}
    for vehicle in pack.vehicles:
        yield vehicle.make, Entry("name", "make", vehicle.make)
        yield (
            f"{vehicle.make} {vehicle.model}",
            Entry("name", "make_model", f"{vehicle.make}\t{vehicle.model}"),
        )
        yield vehicle.model, Entry("name", "model", vehicle.model)
        for alias in vehicle.aliases:
            yield alias, Entry("name", "make_model", f"{vehicle.make}\t{vehicle.model}")
        yield from _glued(vehicle.make, vehicle.model)
        yield from _spoken(vehicle)
        yield from _told_apart(vehicle, models)
    for stem in _stems(pack.vehicles, models):
        yield stem, Entry("name", "model", stem)


def _stems(vehicles: Iterable[Vehicle], models: Container[str]) -> Iterator[str]:
    """ "NAME" where a make lists only a "NAME 36" and a "NAME 48": people leave the last word off."""
    shared = Counter({(v.make, v.model): v.model.rpartition(" ")[0] for v in vehicles}.values())
    yield from (stem for stem, count in shared.items() if stem and count > 1 and stem not in models)


def _told_apart(vehicle: Vehicle, models: Container[str]) -> Iterable[tuple[str, Entry]]:
    """ "the NAME, the AC": the kind told after the plain name of another model."""
    base, _, kind = vehicle.model.rpartition(" ")
    if base in models and len(kind) > 1 and kind.isalpha():
        yield f"{base} the {kind}", Entry("name", "model", vehicle.model)


def _spoken(vehicle: Vehicle) -> Iterable[tuple[str, Entry]]:
    """A model with a figure, told in words: "NAME forty eight"."""
    for name in (vehicle.model, *vehicle.aliases):
        words = [spelt(int(word)) if word.isdecimal() and int(word) < _SPOKEN else word for word in name.split()]
        if words != name.split():
            yield " ".join(words), Entry("name", "make_model", f"{vehicle.make}\t{vehicle.model}")


def _glued(make: str, model: str) -> Iterable[tuple[str, Entry]]:
    """A model of several words is also typed in one."""
    parts = [token.text for token in tokenise(model)]
    joined = "".join(parts)
    if joined != model and joined.isalpha() and len(parts[-1]) > 1:  # "NAME E" in one reads like "NAME"
        yield joined, Entry("name", "model", model)

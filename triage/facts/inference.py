"""What the catalogue, the serial number and arithmetic add to what was told, each with its basis."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from triage.facts.catalogue import Known, candidates, holding, vehicle_value, whole
from triage.facts.serial import fitting, patterns_of
from triage.model import Fact, Standing
from triage.pack import Pack
from triage.pack.schema import Vehicle

_FROM_VEHICLE = (
    ("powertrain", ""),
    ("pack_voltage", "V"),
    ("battery_chemistry", ""),
    ("battery_count", ""),
    ("battery_voltage", "V"),
    ("controller_type", ""),
)
_TRACTION_COUNT = 3  # an engine needs one battery, two at most
_TRACTION_VOLTS = 24  # V; from here on a pack, not an accessory battery


def infer(facts: Sequence[Fact], pack: Pack) -> tuple[Fact, ...]:
    """The facts with what follows from them, for each vehicle told of."""
    result = list(facts)
    for vehicle in sorted({fact.vehicle for fact in facts}):
        for step in (_from_serial, _from_catalogue, _from_arithmetic, _from_electrics):
            known = holding(result, vehicle)
            added = [fact for fact in step(known, pack, vehicle) if fact.name not in known.facts]
            result.extend(fact for fact in added if not _is_denied(result, fact))
    return tuple(result)


def _is_denied(facts: Sequence[Fact], inferred: Fact) -> bool:
    said = (inferred.name, inferred.value, inferred.vehicle)
    return any((f.name, f.value, f.vehicle) == said and f.standing is Standing.DENIED for f in facts)


def _from_serial(known: Known, pack: Pack, vehicle: int) -> Iterator[Fact]:
    """Make, model and year of the one catalogue entry whose serial numbers look like this."""
    serial = known.facts.get("serial")
    found = fitting(str(serial.value), patterns_of(pack)) if serial else []
    if serial is None or len(found) != 1:
        return
    listed = found[0].vehicle
    basis = f"serial number {serial.value} is that of a {listed.make} {listed.model}"
    values = {"make": listed.make, "model": listed.model, "year": found[0].year_of(str(serial.value))}
    for name, value in values.items():
        if value is not None:
            yield Fact(name, value, "", Standing.INFERRED, serial.span, basis, vehicle)


def _from_catalogue(known: Known, pack: Pack, vehicle: int) -> Iterator[Fact]:
    """A fact on which all agreeing catalogue entries are at one; and the make of a model only one make builds."""
    listed = candidates(known, pack)
    if not listed:
        return
    anchor = known.facts.get("model") or known.facts.get("make")
    span = anchor.span if anchor else None
    if "make" not in known.facts and len({v.make for v in listed}) == 1:
        basis = f"catalogue: only {listed[0].make} makes the {known.value('model')}"
        yield Fact("make", listed[0].make, "", Standing.INFERRED, span, basis, vehicle)
    if "model" not in known.facts and len({v.powertrain for v in listed}) > 1:
        return
    for name, unit in _FROM_VEHICLE:
        values = {vehicle_value(v, name) for v in listed}
        value = values.pop() if len(values) == 1 else None
        if value is not None:
            yield Fact(name, value, unit, Standing.INFERRED, span, f"catalogue: {_label(listed, known)}", vehicle)


def _label(listed: Sequence[Vehicle], known: Known) -> str:
    if len(listed) == 1:
        return f"{listed[0].make} {listed[0].model}"
    return f"every {known.value('model') or known.value('make')} that fits what was told"


def _from_arithmetic(known: Known, pack: Pack, vehicle: int) -> Iterator[Fact]:
    """Count times volts is the pack; the pack over one of them is the other, when that is usual."""
    count, each = known.number("battery_count"), known.number("battery_voltage")
    total = known.number("pack_voltage")
    span = next((known.facts[name].span for name in ("battery_count", "battery_voltage") if name in known.facts), None)
    if count and each and total is None:
        basis = f"{count:g} batteries of {each:g} V in series"
        yield Fact("pack_voltage", whole(count * each), "V", Standing.INFERRED, span, basis, vehicle)
    elif count and total and each is None and total / count in _usual_volts(pack):
        basis = f"{total:g} V from {count:g} batteries"
        yield Fact("battery_voltage", whole(total / count), "V", Standing.INFERRED, span, basis, vehicle)
    elif each and total and count is None and _makes_whole_count(total, each, known):
        basis = f"{total:g} V from {each:g} V batteries"
        yield Fact("battery_count", int(total / each), "", Standing.INFERRED, span, basis, vehicle)


def _usual_volts(pack: Pack) -> set[float]:
    kind = pack.facts.get("battery_voltage")
    return {float(value) for value in kind.values} if kind else set()


def _makes_whole_count(total: float, each: float, known: Known) -> bool:
    return (total / each).is_integer() and known.value("battery_chemistry") != "lithium"


def _from_electrics(known: Known, pack: Pack, vehicle: int) -> Iterator[Fact]:
    """A pack voltage makes it electric; a lithium pack does too."""
    for name, what in (("pack_voltage", "pack"), ("charger_voltage", "charger")):
        fact = known.facts.get(name)
        if fact and isinstance(fact.value, int | float) and fact.value >= _TRACTION_VOLTS:
            yield _electric(fact, f"a {fact.value:g} V {what}", vehicle)
            return
    count = known.facts.get("battery_count")
    if count and isinstance(count.value, int) and count.value >= _TRACTION_COUNT:
        yield _electric(count, f"a set of {count.value} batteries", vehicle)
        return
    chemistry = known.facts.get("battery_chemistry")
    if chemistry and chemistry.value == "lithium":
        yield _electric(chemistry, "a lithium pack", vehicle)


def _electric(fact: Fact, what: str, vehicle: int) -> Fact:
    return Fact("powertrain", "electric", "", Standing.INFERRED, fact.span, f"{what} goes with electric", vehicle)

"""What the catalogue and arithmetic add to what was told, each with its basis."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from triage.model import Fact, FactValue, Standing
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
BESIDE = 11  # characters: ", the gas", " electric "


@dataclass(frozen=True, slots=True)
class Known:
    """What holds of one vehicle: fact name -> fact."""

    facts: dict[str, Fact]

    def value(self, name: str) -> FactValue | None:
        """The value, or None when nothing holds."""
        fact = self.facts.get(name)
        return fact.value if fact else None

    def number(self, name: str) -> float | None:
        """The value as a number, or None."""
        value = self.value(name)
        return float(value) if isinstance(value, int | float) else None


def holding(facts: Iterable[Fact], vehicle: int = 1) -> Known:
    """The facts that hold of a vehicle; said outright beats inferred, and a firm word beats a hedged one."""
    order = {Standing.CORRECTED: 0, Standing.STATED: 1, Standing.HEDGED: 2, Standing.INFERRED: 3}
    best: dict[str, Fact] = {}
    for fact in facts:
        if fact.vehicle != vehicle or not fact.standing.holds:
            continue
        known = best.get(fact.name)
        if (
            known is None
            or _makes_exact(fact, known)
            or (order[fact.standing] < order[known.standing] and not _makes_exact(known, fact))
        ):
            best[fact.name] = fact
    return Known(best)


def _makes_exact(fact: Fact, other: Fact) -> bool:
    """The exact model, inferred from a plain name and the powertrain, is the better of the two."""
    exact = fact.name == "model" and fact.standing is Standing.INFERRED
    return exact and str(fact.value).startswith(f"{other.value} ")


def years_of(value: FactValue | None) -> tuple[int, int] | None:
    """First and last year of a year fact: 2009, or the range "2005-2006".

    >>> years_of(2009), years_of("1996-1999")
    ((2009, 2009), (1996, 1999))
    """
    if isinstance(value, int):
        return value, value
    if isinstance(value, str) and "-" in value:
        low, _, high = value.partition("-")
        return int(low), int(high)
    return None


def candidates(known: Known, pack: Pack) -> list[Vehicle]:
    """Catalogue entries that agree with what holds; empty when neither make nor model is told or none agrees."""
    make, model = known.value("make"), known.value("model")
    if make is None and model is None:
        return []
    named = [v for v in pack.vehicles if _named(v, make, model)]
    return [v for v in named if _agrees(v, known)]


def _named(vehicle: Vehicle, make: FactValue | None, model: FactValue | None) -> bool:
    return (make is None or _same(vehicle.make, make)) and (model is None or _same(vehicle.model, model))


def _same(a: str, b: FactValue) -> bool:
    return a.casefold() == str(b).casefold()


def _agrees(vehicle: Vehicle, known: Known, *, sure: bool = False) -> bool:
    """False when something told speaks against the vehicle; with `sure` also what words imply."""
    years = years_of(known.value("year"))
    if years and not (years[0] <= (vehicle.year_to or 9999) and years[1] >= (vehicle.year_from or 0)):
        return False
    for name in ("powertrain", "pack_voltage", "battery_chemistry", "battery_count", "battery_voltage"):
        told, listed = known.facts.get(name), vehicle_value(vehicle, name)
        weak = told is not None and told.standing is Standing.INFERRED and not sure
        if told and listed is not None and told.value != listed and not weak:
            return False
    return True


def vehicle_value(vehicle: Vehicle, name: str) -> FactValue | None:
    """What the catalogue says of a vehicle under a fact's name; None where it says nothing."""
    if name in ("battery_count", "battery_voltage"):
        if not vehicle.batteries:
            return None
        count, _, each = vehicle.batteries.partition("x")
        return int(count) if name == "battery_count" else _whole(float(each))
    if name == "battery_chemistry" and vehicle.battery_chemistry is None and (vehicle.batteries or "").startswith("1x"):
        return "lithium"  # one block of pack voltage is never lead
    value = getattr(vehicle, name, None) or None
    return _whole(value) if isinstance(value, float) else value


def _whole(value: float) -> int | float:
    return int(value) if value.is_integer() else value


def refine(facts: Sequence[Fact], pack: Pack) -> tuple[Fact, ...]:
    """A model name made exact: a plain name with "petrol" is the petrol model, where there is just one such.

    Only a name that begins another model's name of the same make is refined, and only when the plain model is
    ruled out.
    """
    result = list(facts)
    for index, fact in enumerate(result):
        if fact.name != "model" or not isinstance(fact.value, str):
            continue
        known = _told_of(result, fact)
        better = _better_model(fact.value, known, pack)
        if better and any(_beside(fact, other) for other in known.facts.values()):
            result[index] = replace(fact, value=better.model, basis=f"{fact.basis}; the {better.model}")
        elif better:
            basis = f"'{fact.value}' with what else was told is the {better.make} {better.model}"
            exact = replace(fact, value=better.model, standing=Standing.INFERRED, basis=basis, mentions=())
            result.append(exact)
    return tuple(result)


def _beside(model: Fact, other: Fact) -> bool:
    """The words that decide stand beside the name: "gas NAME", "NAME, the gas one"."""
    if other.name not in ("powertrain", "battery_chemistry") or not (model.span and other.span):
        return False
    gap = max(other.span.start - model.span.end, model.span.start - other.span.end)
    return gap <= BESIDE


def _told_of(facts: Sequence[Fact], model: Fact) -> Known:
    """What was said of the vehicle of a model fact; of another person's vehicle nothing else is known for sure."""
    if not model.standing.holds:
        return Known({})
    return holding((fact for fact in facts if fact.name != "model"), model.vehicle)


def _better_model(name: str, known: Known, pack: Pack) -> Vehicle | None:
    plain = [v for v in pack.vehicles if _same(v.model, name)]
    if not known.facts or not plain or any(_agrees(v, known, sure=True) for v in plain):
        return None
    makes = {v.make for v in plain}
    longer = [
        v
        for v in pack.vehicles
        if v.make in makes and v.model.casefold().startswith(f"{name.casefold()} ") and _agrees(v, known, sure=True)
    ]
    return longer[0] if len({v.model for v in longer}) == 1 else None


def infer(facts: Sequence[Fact], pack: Pack) -> tuple[Fact, ...]:
    """The facts with what follows from them, for each vehicle told of."""
    result = list(facts)
    for vehicle in sorted({fact.vehicle for fact in facts}):
        for step in (_from_catalogue, _from_arithmetic, _from_electrics):
            known = holding(result, vehicle)
            added = [fact for fact in step(known, pack, vehicle) if fact.name not in known.facts]
            result.extend(fact for fact in added if not _is_denied(result, fact))
    return tuple(result)


def _is_denied(facts: Sequence[Fact], inferred: Fact) -> bool:
    return any(
        f.name == inferred.name
        and f.value == inferred.value
        and f.vehicle == inferred.vehicle
        and f.standing is Standing.DENIED
        for f in facts
    )


def _from_catalogue(known: Known, pack: Pack, vehicle: int) -> Iterator[Fact]:
    """A fact on which all agreeing catalogue entries are at one; and the make of a model only one make builds."""
    fitting = candidates(known, pack)
    if not fitting:
        return
    anchor = known.facts.get("model") or known.facts.get("make")
    span = anchor.span if anchor else None
    label = (
        " ".join(sorted({f"{v.make} {v.model}" for v in fitting}))
        if len(fitting) == 1
        else _common_label(fitting, known)
    )
    if "make" not in known.facts and len({v.make for v in fitting}) == 1:
        yield Fact(
            "make",
            fitting[0].make,
            standing=Standing.INFERRED,
            span=span,
            basis=f"catalogue: only {fitting[0].make} makes the {known.value('model')}",
            vehicle=vehicle,
        )
    if "model" not in known.facts and len(fitting) > 1:
        fitting = fitting if len({v.powertrain for v in fitting}) == 1 else []
    for name, unit in _FROM_VEHICLE:
        values = {vehicle_value(v, name) for v in fitting}
        value = values.pop() if len(values) == 1 else None
        if value is not None:
            yield Fact(name, value, unit, Standing.INFERRED, span, f"catalogue: {label}", vehicle)


def _common_label(fitting: Sequence[Vehicle], known: Known) -> str:
    named = str(known.value("model") or known.value("make"))
    return f"every {named} that fits what was told"


def _from_arithmetic(known: Known, pack: Pack, vehicle: int) -> Iterator[Fact]:
    """Count times volts is the pack; pack over count is each battery's, when that is a usual battery."""
    count, each, total = (
        known.number("battery_count"),
        known.number("battery_voltage"),
        known.number("pack_voltage"),
    )
    span = known.facts["battery_count"].span if "battery_count" in known.facts else None
    usual = {float(v) for v in pack.facts["battery_voltage"].values} if "battery_voltage" in pack.facts else set()
    if count and each and total is None:
        basis = f"{count:g} batteries of {each:g} V in series"
        yield Fact("pack_voltage", _whole(count * each), "V", Standing.INFERRED, span, basis, vehicle)
    elif count and total and each is None and total / count in usual:
        basis = f"{total:g} V from {count:g} batteries"
        yield Fact("battery_voltage", _whole(total / count), "V", Standing.INFERRED, span, basis, vehicle)
    elif (
        each
        and total
        and count is None
        and (total / each).is_integer()
        and known.value("battery_chemistry") != "lithium"
    ):
        basis = f"{total:g} V from {each:g} V batteries"
        yield Fact(
            "battery_count",
            int(total / each),
            "",
            Standing.INFERRED,
            known.facts["battery_voltage"].span,
            basis,
            vehicle,
        )


def _from_electrics(known: Known, pack: Pack, vehicle: int) -> Iterator[Fact]:
    """A pack voltage makes it electric; a traction chemistry does too."""
    for name in ("pack_voltage", "charger_voltage"):
        fact = known.facts.get(name)
        if fact and isinstance(fact.value, int | float) and fact.value >= 24:
            basis = f"a {fact.value:g} V {'pack' if name == 'pack_voltage' else 'charger'} goes with electric"
            yield Fact("powertrain", "electric", "", Standing.INFERRED, fact.span, basis, vehicle)
            return
    chemistry = known.facts.get("battery_chemistry")
    if chemistry and chemistry.value == "lithium":
        yield Fact(
            "powertrain",
            "electric",
            "",
            Standing.INFERRED,
            chemistry.span,
            "a lithium pack goes with electric",
            vehicle,
        )

"""A plain model name made exact: with "petrol" beside it, it is the petrol model, where there is just one such."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from triage.facts.catalogue import Known, agrees, begins, holding, same_name, vehicle_value
from triage.model import Fact, Standing
from triage.pack import Pack
from triage.pack.schema import Vehicle

BESIDE = 11  # characters: ", the gas", " electric "
_FILLERS = frozenset("the one ones with a an it its it's is kind version model that has , of sort type".split())
_KINDS = frozenset({"powertrain", "battery_chemistry"})


def refine(facts: Sequence[Fact], pack: Pack, text: str = "") -> tuple[Fact, ...]:
    """The facts with model names made exact.

    Only a name that begins another model's name of the same make is refined, and only when the plain model is ruled
    out. Words that stand beside the name change the fact itself; what was told elsewhere adds an inferred one.
    """
    result = list(facts)
    for index, fact in enumerate(result):
        if fact.name != "model" or not isinstance(fact.value, str):
            continue
        beside = {other.name: other for other in facts if _beside(fact, other, text)}
        known = Known(_told_of(result, fact).facts | beside)
        near = _better_model(fact.value, known, pack) if beside else None
        if near:
            result[index] = replace(fact, value=near.model, basis=f"{fact.basis}; the {near.model}")
        else:
            result += _exact(fact, result, pack)
    return tuple(result)


def _exact(fact: Fact, facts: Sequence[Fact], pack: Pack) -> Iterator[Fact]:
    better = _better_model(str(fact.value), _told_of(facts, fact), pack)
    if better:
        basis = f"'{fact.value}' with what else was told is the {better.make} {better.model}"
        yield replace(fact, value=better.model, standing=Standing.INFERRED, basis=basis, mentions=())


def _beside(model: Fact, other: Fact, text: str) -> bool:
    """The words that decide stand beside the name, said outright: "gas NAME", "NAME, the gas one"."""
    if model.message or other.message:  # of an earlier message only the facts are at hand, not the words between
        return False
    told = other.name in _KINDS and other.standing not in (Standing.INFERRED, Standing.DENIED, Standing.PLANNED)
    if not told or not (model.span and other.span) or model.vehicle != other.vehicle:
        return False
    first, second = sorted((model.span, other.span), key=lambda span: span.start)
    between = text[first.end : second.start]
    near = second.start - first.end <= BESIDE or set(between.lower().replace(",", " , ").split()) <= _FILLERS
    return near and not set(between) & set("\n:")


def _told_of(facts: Sequence[Fact], model: Fact) -> Known:
    """What was said of the vehicle of a model fact; of another person's vehicle nothing else is known for sure."""
    if not model.standing.holds:
        return Known({})
    return holding((fact for fact in facts if fact.name != "model"), model.vehicle)


def _better_model(name: str, known: Known, pack: Pack) -> Vehicle | None:
    plain = [v for v in pack.vehicles if same_name(v.model, name)]
    if not known.facts:
        return None
    makes = {v.make for v in plain or pack.vehicles}
    longer = [v for v in pack.vehicles if v.make in makes and begins(v.model, name) and agrees(v, known, sure=True)]
    if any(agrees(v, known, sure=True) for v in plain):
        longer = [v for v in longer if _alone_listed(v, plain, known)]
    longer = [v for v in longer if not _is_of_other_kind(v, known)]
    return longer[0] if len({v.model for v in longer}) == 1 else None


def _alone_listed(vehicle: Vehicle, plain: Sequence[Vehicle], known: Known) -> bool:
    """The catalogue gives the told kind of battery for this vehicle, and none for the plain one."""
    told = known.value("battery_chemistry")
    listed = vehicle_value(vehicle, "battery_chemistry")
    return told is not None and listed == told and all(vehicle_value(v, "battery_chemistry") is None for v in plain)


def _is_of_other_kind(vehicle: Vehicle, known: Known) -> bool:
    """A petrol vehicle for one of whose batteries the kind is told."""
    return known.value("battery_chemistry") is not None and vehicle.powertrain == "petrol"

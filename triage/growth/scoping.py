"""Which vehicles a new answer is for: the facts its sentences depend on, not all that is known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from triage.growth.wordlists import WordLists
from triage.language import Language
from triage.model import Fact, Standing
from triage.pack.schema import AppliesTo, Vehicle

_KINDS = frozenset({"stock", "modified"})


def depended(texts: Iterable[str], language: Language, lists: WordLists) -> frozenset[str]:
    """Facts that sentences with such units and parts depend on."""
    records = list(lists.of("depends"))
    found: set[str] = set()
    for text in texts:
        document = language.annotate(text)
        units = {quantity.unit for quantity in document.quantities}
        parts = {mention.entry.key for mention in document.of_kind("part")}
        found |= {r.id for r in records if not units.isdisjoint(r.units) or not parts.isdisjoint(r.parts)}
    return frozenset(found)


def applies_to(facts: Mapping[str, Fact], mattered: frozenset[str], vehicles: Sequence[Vehicle]) -> AppliesTo:
    """The range of an answer: of what is firmly known, what mattered. What drives the vehicle always does."""

    def firm(name: str) -> str | None:
        fact = facts.get(name)
        told = fact is not None and fact.standing is not Standing.HEDGED
        return str(fact.value) if fact is not None and told and (name in mattered or name == "powertrain") else None

    powertrain, voltage, controller = firm("powertrain"), firm("pack_voltage"), firm("controller")
    make, model = firm("make"), firm("model")
    told = facts.get("battery_chemistry")
    chemistry = firm("battery_chemistry") if told and told.standing is not Standing.INFERRED else None
    if model and len({vehicle.pack_voltage for vehicle in vehicles if vehicle.model == model}) == 1:
        voltage = None  # the model tells it
    electric = powertrain != "petrol"
    years = _years(facts, model, vehicles) if "year" in mattered else (None, None)
    return AppliesTo(
        powertrain="electric" if powertrain == "electric" else "petrol" if powertrain == "petrol" else None,
        makes=[make] if make and not model else [],
        models=[model] if model else [],
        voltages=[float(voltage)] if voltage and electric else [],
        chemistries=[kind for kind in ("flooded", "agm", "gel", "lithium") if electric and kind == chemistry],
        controllers=[controller] if controller in _KINDS else [],
        year_from=years[0],
        year_to=years[1],
    )


def _years(facts: Mapping[str, Fact], model: str | None, vehicles: Sequence[Vehicle]) -> tuple[int | None, int | None]:
    """The years of the catalogue's entry that the told year falls in; of an unlisted vehicle, that year."""
    fact = facts.get("year")
    if fact is None or not str(fact.value).isdigit():
        return None, None
    year = int(str(fact.value))
    for vehicle in vehicles:
        if vehicle.model == model and (vehicle.year_from or 0) <= year <= (vehicle.year_to or 9999):
            return vehicle.year_from, vehicle.year_to
    return year, year


def wider(to: AppliesTo, facts: Mapping[str, Fact], against: Iterable[str]) -> AppliesTo:
    """The range with the asker's firm values let in where they spoke against it."""
    for name in against:
        value = facts[name].value if name in facts and facts[name].standing is not Standing.HEDGED else None
        if value is None:
            continue
        if name == "powertrain":
            to = replace(to, powertrain=None)
        elif name in _LISTS:
            key = _LISTS[name]
            to = _with(to, key, sorted([*getattr(to, key), value]))
        elif name == "year" and str(value).isdigit():
            year = int(str(value))
            first = min(year, to.year_from) if to.year_from else None
            to = replace(to, year_from=first, year_to=max(year, to.year_to) if to.year_to else None)
    return to


_LISTS = {
    "make": "makes", "model": "models", "pack_voltage": "voltages",
    "battery_chemistry": "chemistries", "controller": "controllers",
}  # fmt: skip


def _with(to: AppliesTo, key: str, values: list[Any]) -> AppliesTo:
    changed: dict[str, Any] = {key: values}
    return replace(to, **changed)

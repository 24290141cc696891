"""The form in which a person corrects, denies or adds one fact."""

from __future__ import annotations

from dataclasses import dataclass

from triage.bench.views.wording import label, plain
from triage.pack import Pack


@dataclass(frozen=True, slots=True)
class FactForm:
    """Which fact, what it is now, and what it may be."""

    name: str  # "" while it is not chosen yet
    label: str
    was: str
    was_says: str
    typed: str
    vehicle: int
    kind: str  # "number" | "choice" | "text"
    unit: str
    choices: tuple[tuple[str, str], ...]  # value, words
    names: tuple[tuple[str, str], ...]  # facts to choose from, where none is named
    by_person: bool
    wrong: str


def fact_form(
    pack: Pack, name: str, was: str, vehicle: int, *, by_person: bool = False, typed: str = "", wrong: str = ""
) -> FactForm:
    """The form for a fact of the pack; for a name it does not have, the list of those there are."""
    kind = pack.facts.get(name)
    names = tuple(sorted(((id, one.label) for id, one in pack.facts.items()), key=lambda pair: pair[1]))
    if kind is None:
        return FactForm("", "", "", "", typed, vehicle, "text", "", (), names, False, wrong)
    choices = _choices(pack, name)
    says = dict(choices).get(was, plain(was))
    form = "choice" if kind.kind == "choice" or name == "symptom" else "number" if kind.kind == "number" else "text"
    return FactForm(name, kind.label, was, says, typed or was, vehicle, form, kind.unit, choices, (), by_person, wrong)


def _choices(pack: Pack, name: str) -> tuple[tuple[str, str], ...]:
    if name == "symptom":
        return tuple(sorted(((id, s.label) for id, s in pack.symptoms.items()), key=lambda pair: pair[1]))
    if name == "make":
        return tuple((make, make) for make in sorted({vehicle.make for vehicle in pack.vehicles}))
    if name == "model":
        return tuple((model, model) for model in sorted({vehicle.model for vehicle in pack.vehicles}))
    return tuple((value, label({}, value)) for value in pack.facts[name].values)

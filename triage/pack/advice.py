"""What a pack can be used with and is probably meant otherwise: warnings."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from triage.pack.applies import applies
from triage.pack.assemble import Assembly
from triage.pack.problem import Problem, suggest
from triage.pack.records import (
    ANSWERS,
    CAUSES,
    CHECKS,
    FACTS,
    HAZARDS,
    SYMPTOMS,
    TRADE_LISTS,
    VEHICLES,
    Entry,
    Kind,
)


def fits_no_vehicle(read: Assembly) -> Iterator[Problem]:
    """An answer for vehicles the catalogue does not have."""
    vehicles = [entry.record for entry in read.of(VEHICLES).values()]
    if not vehicles:
        return
    makes = {vehicle.make.casefold(): vehicle.make for vehicle in vehicles}
    for entry in read.of(ANSWERS).values():
        to = entry.record.applies_to
        strange = [index for index, make in enumerate(to.makes) if make.casefold() not in makes]
        for index in strange:
            message = f"no vehicle of the catalogue is a '{to.makes[index]}'"
            yield _warn(entry, ["applies_to", "makes", index], message, suggest(to.makes[index], makes.values()))
        if not strange and not any(applies(to, vehicle) for vehicle in vehicles):
            fix = "Widen applies_to, or add the vehicle."
            yield _warn(entry, ["applies_to"], "no vehicle of the catalogue fits all of this", fix)


def unknown_replaced(read: Assembly) -> Iterator[Problem]:
    """`replaces` names an answer that is not there: right when it was deleted, wrong when misspelt."""
    known = read.of(ANSWERS)
    for entry in known.values():
        for index, name in enumerate(entry.record.replaces):
            if name not in known:
                fix = f"Leave it if that answer was taken out. {suggest(name, known)}"
                yield _warn(entry, ["replaces", index], f"there is no answer '{name}'", fix)


def gaps_of_knowledge(read: Assembly) -> Iterator[Problem]:
    """Records that nothing leads to or from."""
    shown = {name for entry in read.of(CAUSES).values() for name in entry.record.symptoms}
    examined = {name for entry in read.of(CHECKS).values() for name in entry.record.causes}
    yield from _unnamed(read, SYMPTOMS, shown, "no cause shows this symptom", "Add it to a cause's symptoms.")
    yield from _unnamed(read, CAUSES, examined, "no check examines this cause", "Add it to a check's causes.")


def _unnamed(read: Assembly, kind: Kind, named: set[str], message: str, fix: str) -> Iterator[Problem]:
    for name, entry in read.of(kind).items():
        if name not in named:
            yield _warn(entry, ["id"], message, fix)


def silent_hazards(read: Assembly) -> Iterator[Problem]:
    """A hazard that no words and no facts bring up."""
    for entry in read.of(HAZARDS).values():
        if not (entry.record.phrases or entry.record.examples or entry.record.facts):
            fix = "Add phrases that tell it; until then only an answer or a check that names it brings it up."
            yield _warn(entry, ["id"], f"nothing an asker writes brings up '{entry.record.id}'", fix)


def incomplete(read: Assembly) -> Iterator[Problem]:
    """Records with an important part left empty."""
    for entry in read.of(ANSWERS).values():
        if not entry.record.text:
            yield _warn(entry, [], "the answer has no text", "Write it under the second --- line.")
    for entry in read.of(VEHICLES).values():
        if entry.record.powertrain == "electric" and entry.record.pack_voltage is None:
            yield _warn(entry, [], "an electric vehicle without pack_voltage", "Add 'pack_voltage: ...' in volts.")
    for entry in read.of(FACTS).values():
        if entry.record.kind == "choice" and not entry.record.values:
            yield _warn(entry, ["kind"], "a choice without values", "Add 'values:' with a list.")


def other_powertrain(read: Assembly) -> Iterator[Problem]:
    """A cause of one powertrain said to show a symptom of the other."""
    symptoms = read.of(SYMPTOMS)
    for entry in read.of(CAUSES).values():
        for name in entry.record.symptoms:
            symptom = symptoms[name].record.powertrain if name in symptoms else "any"
            if "any" not in (symptom, entry.record.powertrain) and symptom != entry.record.powertrain:
                message = f"a cause of {entry.record.powertrain} vehicles, but '{name}' is of {symptom} ones"
                yield _warn(entry, ["symptoms", name], message, "Make one of them 'any', or take it out.")


def strange_values(read: Assembly) -> Iterator[Problem]:
    """A condition on a value that a choice does not have, so that it can never hold."""
    for kind in (CAUSES, CHECKS):
        for entry in read.of(kind).values():
            yield from _conditions(read, entry, ("when",), entry.record.when)
    for entry in read.of(HAZARDS).values():
        for index, condition in enumerate(entry.record.facts):
            yield from _conditions(read, entry, ("facts", index), condition)


def _conditions(
    read: Assembly, entry: Entry, path: tuple[str | int, ...], condition: dict[str, list[str]]
) -> Iterator[Problem]:
    for name, wanted in condition.items():
        fact = read.of(FACTS)[name].record if name in read.of(FACTS) else None
        if fact is None or fact.kind != "choice":
            continue
        for index, value in enumerate(wanted):
            if value not in fact.values:
                message = f"'{value}' is no value of {name}"
                yield _warn(entry, [*path, name, index], message, suggest(value, fact.values))


def unread_files(read: Assembly) -> Iterator[Problem]:
    """Files in a pack that nothing reads, mostly because of a misspelt name."""
    names = {*(f"{kind.name}.yaml" for kind in TRADE_LISTS), "words.yaml", "shop.yaml", "phrases.yaml"}
    for part in read.parts:
        for file in sorted(part.rglob("*")):
            hidden = any(step.startswith(".") for step in file.relative_to(part).parts)
            if file.is_file() and not hidden and file.name != "README.md" and file not in read.files:
                fix = _file_fix(file, names)
                yield Problem(str(file), 0, 0, "", "this file is not read", fix, "warning")


def _file_fix(file: Path, names: set[str]) -> str:
    if file.suffix in (".yaml", ".yml"):
        return suggest(file.name, names)
    return "Answers and vehicles are .md files in shop/answers and shop/vehicles; templates are wording/*.j2."


def _warn(entry: Entry, path: list[str | int], message: str, fix: str) -> Problem:
    return entry.problem(path, message, fix, severity="warning")


WARNINGS = (
    fits_no_vehicle,
    unknown_replaced,
    gaps_of_knowledge,
    silent_hazards,
    incomplete,
    other_powertrain,
    strange_values,
    unread_files,
)

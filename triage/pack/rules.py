"""Records that are well formed and still cannot be right: errors that keep a pack from being used."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from jinja2 import Environment, TemplateSyntaxError

from triage.pack.assemble import Assembly
from triage.pack.problem import Problem
from triage.pack.records import ANSWERS, FACTS, VEHICLES, Entry
from triage.pack.references import unknown_references
from triage.pack.schema import Vehicle

_ELECTRIC_ONLY = ("pack_voltage", "batteries", "battery_chemistry", "charge_interlock")
# A lithium pack's label voltage may be the nominal class or up to 7 % more: 16 cells of 3.2 V are 51.2 V in a
# 48 V vehicle, 24 are 76.8 V in a 72 V one (computed).
_LITHIUM_SPREAD = (0.95, 1.10)
_EXACT = (0.99, 1.01)


def reversed_years(read: Assembly) -> Iterator[Problem]:
    """The first year comes after the last."""
    for entry in read.of(VEHICLES).values():
        yield from _years(entry, (), entry.record.year_from, entry.record.year_to)
    for entry in read.of(ANSWERS).values():
        to = entry.record.applies_to
        yield from _years(entry, ("applies_to",), to.year_from, to.year_to)


def _years(entry: Entry, path: tuple[str, ...], first: int | None, last: int | None) -> Iterator[Problem]:
    if first is not None and last is not None and first > last:
        message = f"the years run backwards: {first} to {last}"
        yield entry.problem((*path, "year_to"), message, "Swap the two.")


def reversed_ranges(read: Assembly) -> Iterator[Problem]:
    """A plausible range whose low end is above its high end."""
    for entry in read.of(FACTS).values():
        low, high = entry.record.low, entry.record.high
        if low is not None and high is not None and low > high:
            yield entry.problem(["high"], f"the range runs backwards: {low:g} to {high:g}", "Swap the two.")


def petrol_with_pack(read: Assembly) -> Iterator[Problem]:
    """A petrol vehicle has no battery pack, so an answer for petrol has no pack voltage or chemistry."""
    for entry in read.of(VEHICLES).values():
        if entry.record.powertrain == "petrol":
            given = [key for key in _ELECTRIC_ONLY if getattr(entry.record, key) is not None]
            yield from (_not_petrol(entry, (key,)) for key in given)
    for entry in read.of(ANSWERS).values():
        if entry.record.applies_to.powertrain == "petrol":
            given = [key for key in ("voltages", "chemistries") if getattr(entry.record.applies_to, key)]
            yield from (_not_petrol(entry, ("applies_to", key)) for key in given)


def _not_petrol(entry: Entry, path: tuple[str, ...]) -> Problem:
    fix = "Take it out, or make the powertrain electric."
    return entry.problem(path, f"'{path[-1]}' is only for electric vehicles", fix)


def pack_disagrees(read: Assembly) -> Iterator[Problem]:
    """Batteries in series add up: 6 of 8 V are 48 V (electrical law)."""
    for entry in read.of(VEHICLES).values():
        total = layout_voltage(entry.record.batteries)
        stated = entry.record.pack_voltage
        if total is not None and stated is not None and not _agree(entry.record, total / stated):
            message = f"{entry.record.batteries} makes {total:g} V, but pack_voltage says {stated:g} V"
            yield entry.problem(["batteries"], message, "Correct the one that is wrong.")


def layout_voltage(batteries: str | None) -> float | None:
    """Volts of a layout "6x8": six batteries of 8 V in series; None of None.

    >>> layout_voltage("6x8")
    48.0
    """
    if batteries is None:
        return None
    count, volts = batteries.split("x")
    return int(count) * float(volts)


def _agree(vehicle: Vehicle, ratio: float) -> bool:
    low, high = _LITHIUM_SPREAD if vehicle.battery_chemistry in (None, "lithium") else _EXACT
    return low <= ratio <= high


def replacing_in_circles(read: Assembly) -> Iterator[Problem]:
    """Answers that replace each other in a circle: none of them would be left."""
    answers = read.of(ANSWERS)
    replaces = {name: entry.record.replaces for name, entry in answers.items()}
    told: set[str] = set()
    for name, entry in answers.items():
        circle = _circle(name, replaces)
        if circle and told.isdisjoint(circle):
            told.update(circle)
            message = f"the answers replace each other in a circle: {' -> '.join([*circle, name])}"
            yield entry.problem(["replaces"], message, "Take one of them out.")


def _circle(start: str, replaces: dict[str, list[str]]) -> list[str]:
    """A way from `start` back to itself; empty when there is none."""
    ways, seen = [[start]], {start}
    while ways:
        way = ways.pop()
        for following in replaces.get(way[-1], []):
            if following == start:
                return way
            if following not in seen:
                seen.add(following)
                ways.append([*way, following])
    return []


def unreadable_values(read: Assembly) -> Iterator[Problem]:
    """Text that must follow a form the schema does not hold: patterns, dates, mail addresses."""
    for entry in read.of(VEHICLES).values():
        yield from _pattern(entry)
    for entry in read.of(ANSWERS).values():
        yield from _date(entry)
    if read.shop and not re.fullmatch(r"[^@\s]+@[^@\s]+\.[^@\s]+", read.shop.record.mail):
        fix = "Write it as name@shop.example."
        yield read.shop.problem(["mail"], f"'{read.shop.record.mail}' is no mail address", fix)


def _pattern(entry: Entry) -> Iterator[Problem]:
    try:
        re.compile(entry.record.serial_pattern)
    except re.error as error:
        message = f"not a regular expression: {error}"
        yield entry.problem(["serial_pattern"], message, "Put a backslash before ( ) [ ] . * + ? meant as such.")


def _date(entry: Entry) -> Iterator[Problem]:
    try:
        date.fromisoformat(entry.record.reviewed or "2000-01-01")
    except ValueError:
        message = f"'{entry.record.reviewed}' is no date"
        yield entry.problem(["reviewed"], message, "Write it as year-month-day: 2026-03-31.")


def broken_templates(read: Assembly) -> Iterator[Problem]:
    """Wording that the template language cannot read."""
    environment = Environment()
    for file, text in read.template_files:
        try:
            environment.parse(text)
        except TemplateSyntaxError as error:
            yield Problem(str(file), error.lineno, 0, "", f"the template breaks off: {error.message}")
    for entry in read.phrase_files:
        for key, texts in entry.record.items():
            for index, text in enumerate(texts):
                try:
                    environment.parse(text)
                except TemplateSyntaxError as error:
                    yield entry.problem([key, index], f"the template breaks off: {error.message}")


_RULES = (
    unknown_references,
    reversed_years,
    reversed_ranges,
    petrol_with_pack,
    pack_disagrees,
    replacing_in_circles,
    unreadable_values,
    broken_templates,
)


def errors_of(read: Assembly) -> list[Problem]:
    """Everything that keeps the pack from being used: unreadable files first, then what the rules find."""
    return [*read.problems, *(problem for rule in _RULES for problem in rule(read))]

"""Material for drafts, made by hand over the demo pack, so that every expectation can be read off."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from toys import held

from triage.model import CheckStep, Conflict, Decision, Draft, Fact, FactValue, Gap, HazardNote, Question, Signal
from triage.pack import Pack, load
from triage.pack.schema import Answer
from triage.reply import Material, Style, compose
from triage.reply.wording import Phrasebook

KNOWLEDGE = Path(__file__).parents[2] / "knowledge"


@lru_cache(maxsize=1)
def pack() -> Pack:
    return load(KNOWLEDGE)


@lru_cache(maxsize=1)
def book() -> Phrasebook:
    return Phrasebook(pack())


_READ = (
    ("pack_voltage", r"\b(36|48|72) V\b", int),
    ("powertrain", r"\b(electric|petrol)\b", str),
    ("make", r"\b(Tarvik|Ospren|Hollin|Merrow)\b", str),
    ("model", r"\b(Lark Li|Lark|Ridge|Dot|Courier)\b", str),
    ("year", r"\b((?:19|20)\d\d)\b", int),
    ("battery_chemistry", r"\b(lithium|agm|gel)\b", str),
    ("top_speed", r"\b(\d\d) mph\b", int),
)


def read_condition(text: str) -> Mapping[str, tuple[FactValue, ...]]:
    """A small reader of conditions: volts, powertrain, names, years, chemistry, speed, click and turning over."""
    found: dict[str, tuple[FactValue, ...]] = {}
    for name, pattern, kind in _READ:
        values = tuple(kind(value) for value in re.findall(pattern, text))
        if values:
            found[name] = values
    if "solenoid" in text and "click" in text:
        found["solenoid_click"] = ("no" if "not" in text else "yes",)
    if "turn over" in text or "turns over" in text:
        found["engine_turns"] = ("no" if "not" in text else "yes",)
    return found


TEXT = """Look at the heavy cables first.

- If it is a 36 V cart: count six batteries.
- If it is a 48 V cart: count the caps.
- If the solenoid does not click: look at the key switch.
- If the solenoid clicks: look at its posts.

Then measure again."""
ANSWER = Answer(id="solenoid-test", title="Solenoid", question="How?", text=TEXT)

STEPS = (
    CheckStep("look", "cable", 5.0, "", "Look at every lug. Touch nothing."),
    CheckStep("measure", "pack", 10.0, "", "Measure the pack at rest."),
)


def note(hazard: str, signal: Signal = Signal.WARNING, **more: bool) -> HazardNote:
    """A note whose words name it, in full and in short."""
    return HazardNote(hazard, signal, f"Full note on {hazard}.", f"Short {hazard}.", **more)


def gap(fact: str, worth: float = 0.2) -> Gap:
    return Gap(fact, f"What is the {fact}?", worth, "Read the plate.")


CONFLICT = Conflict("year_outside_production", ("year",), "The Lark was made from 1996 to 2018.", "Which year is it?")


def material(decision: Decision = Decision.ANSWER, *facts: Fact, **more: object) -> Material:
    """Material with the answer above; keywords replace its parts."""
    holds = held(*(fact for fact in facts if fact.standing.holds))
    parts: dict[str, object] = {
        "answer": ANSWER, "gaps": (), "conflicts": (), "findings": (), "checks": (), "hazards": (),
    }  # fmt: skip
    return Material(decision=decision, facts=facts, holding=holds, **{**parts, **more})  # type: ignore[arg-type]


def draft(
    made: Material, style: Style = "mail", asker: str = "Mabel Thorne", id: str = "q", subject: str = ""
) -> Draft:
    return compose(Question(id, "", subject, asker), made, pack(), book(), read_condition, style)

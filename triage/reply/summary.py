"""Say back what was understood, so that the asker can correct it: as a sentence for a reply, in short for the queue."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from triage.model import Fact, FactValue, Standing
from triage.pack.schema import Symptom
from triage.reply.wording import Phrasebook

MOST_SYMPTOMS = 3
# a condition that goes on from a clause: "when turning", "under load", "uphill"; "key on" does not
# An asker's words, told back to them: "when i turn the key" is "when you turn the key".
_YOURS = {"i": "you", "my": "your", "we": "you", "our": "your", "i'm": "you are", "im": "you are"}
_JOINS = re.compile(
    r"(?:when|while|with|without|under|at|on|in|after|before|only|going|as|if|from|over|uphill|downhill)\b"
)


def vehicle_line(facts: Mapping[str, Fact]) -> str:
    """For the queue: year, make, model, powertrain, volts and batteries in one line; "" when nothing is known."""
    name = " ".join(_short(facts, key) for key in ("year", "make", "model") if key in facts)
    details = [
        _short(facts, "powertrain"),
        _short(facts, "pack_voltage"),
        _short(facts, "battery_chemistry"),
        _batteries_short(facts),
    ]
    return ", ".join(part for part in (name, *details) if part)


def _short(facts: Mapping[str, Fact], name: str) -> str:
    fact = facts.get(name)
    if fact is None:
        return ""
    shown = f"{_plain(fact.value)} {fact.unit}".strip()
    return f"{shown} (not certain)" if fact.standing is Standing.HEDGED else shown


def _batteries_short(facts: Mapping[str, Fact]) -> str:
    count, each = facts.get("battery_count"), facts.get("battery_voltage")
    if count and each and count.standing is not Standing.INFERRED:
        return f"{count.value} x {each.value} V batteries"
    return f"{count.value} batteries" if count and count.standing is not Standing.INFERRED else ""


def problem_line(facts: Sequence[Fact], symptoms: Mapping[str, Symptom]) -> str:
    """For the queue: "clicks but will not move (uphill)", at most three symptoms; "" when none is told."""
    told = [fact for fact in facts if _shows(fact) and str(fact.value) in symptoms]
    parts = [_labelled(fact, symptoms[str(fact.value)]) for fact in told[:MOST_SYMPTOMS]]
    return "; ".join(dict.fromkeys(parts))


def _shows(fact: Fact) -> bool:
    return fact.name == "symptom" and fact.standing.holds and fact.vehicle == 1


def _labelled(fact: Fact, symptom: Symptom) -> str:
    return f"{symptom.label} ({fact.condition.lower()})" if fact.condition else symptom.label


def told_line(
    facts: Sequence[Fact], held: Mapping[str, Fact], symptoms: Mapping[str, Symptom], book: Phrasebook
) -> str:
    """What the asker said, as part of a sentence: "a 2009 Tarvik Lark, electric, 48 V; it clicks but will not move"."""
    return "; ".join(part for part in (cart(said(facts, held), book), _trouble(facts, symptoms, book)) if part)


def said(facts: Iterable[Fact], held: Mapping[str, Fact]) -> dict[str, Fact]:
    """What holds in the asker's own words; what only the catalogue or a rule adds is left out."""
    told = {name: fact for name, fact in held.items() if fact.standing is not Standing.INFERRED}
    for fact in facts:
        if fact.standing.holds and fact.standing is not Standing.INFERRED and fact.vehicle == 1:
            told.setdefault(fact.name, fact)
    return told


def cart(told: Mapping[str, Fact], book: Phrasebook) -> str:
    """ "a 2009 Tarvik Lark, electric, perhaps 48 V, 6 AGM batteries"; "" when nothing of it was told."""
    name = _name(told)
    details = [_value(told, "powertrain", book) if name else "", _value(told, "pack_voltage", book)]
    details = [part for part in (*details, _batteries(told, book)) if part]
    first = name or _plain_cart(told, bool(details))
    return ", ".join([first, *details]) if first else ""


def _name(told: Mapping[str, Fact]) -> str:
    if "make" not in told and "model" not in told:
        return ""
    present = [told[key] for key in ("year", "make", "model") if key in told]
    name = with_article(" ".join(_plain(fact.value) for fact in present))
    return f"perhaps {name}" if any(fact.standing is Standing.HEDGED for fact in present) else name


def _plain_cart(told: Mapping[str, Fact], details: bool) -> str:
    present = [_plain(told[key].value) for key in ("year", "powertrain") if key in told]
    return with_article(" ".join([*present, "cart"])) if present or details else ""


def with_article(text: str) -> str:
    """ "a Lark", "an Ospren"."""
    return f"{'an' if text[0].lower() in 'aeiou' else 'a'} {text}"


def _value(facts: Mapping[str, Fact], name: str, book: Phrasebook) -> str:
    fact = facts.get(name)
    return _perhaps(_as_said(fact, book), [fact], book) if fact else ""


def _as_said(fact: Fact, book: Phrasebook) -> str:
    key = f"said_{fact.value}"
    return book.say(key) if book.has(key) else f"{_plain(fact.value)} {fact.unit}".strip()


def _perhaps(text: str, facts: Iterable[Fact], book: Phrasebook) -> str:
    hedged = any(fact.standing is Standing.HEDGED for fact in facts)
    return book.say("said_hedged", value=text) if hedged else text


def _batteries(told: Mapping[str, Fact], book: Phrasebook) -> str:
    """ "6 x 8 V AGM batteries", as much of it as was told."""
    count, each, kind = (told.get(key) for key in ("battery_count", "battery_voltage", "battery_chemistry"))
    if not (count or kind):
        return ""
    parts = [
        _plain(count.value) if count else "",
        f"{'x ' if count else ''}{_plain(each.value)} V" if each else "",
        _as_said(kind, book) if kind else "",
        "battery" if count and count.value == 1 else "batteries",
    ]
    return _perhaps(" ".join(part for part in parts if part), [f for f in (count, each, kind) if f], book)


def taken_line(told: Mapping[str, Fact], held: Mapping[str, Fact], book: Phrasebook) -> str:
    """What was inferred and decides advice: "an Ospren Ridge P, petrol", "48 V with AGM batteries"; "" for nothing."""
    added = {name: fact for name, fact in held.items() if fact.standing is Standing.INFERRED}
    name = " ".join(_plain(held[key].value) for key in ("make", "model") if key in held) if "model" in added else ""
    voltage = _value(added, "pack_voltage", book)
    drive = "" if {"pack_voltage", "battery_chemistry"} & held.keys() else _value(added, "powertrain", book)
    taken = ", ".join(part for part in (with_article(name) if name else "", drive, voltage) if part)
    # the chemistry goes with the voltage; by itself it is not worth a sentence
    return (
        f"{taken} with {_as_said(added['battery_chemistry'], book)} batteries"
        if (voltage and "battery_chemistry" in added)
        else taken
    )


def _trouble(facts: Sequence[Fact], symptoms: Mapping[str, Symptom], book: Phrasebook) -> str:
    """ "it squeaks when turning and the brakes drag"; what another clause says already is left out."""
    told = [fact for fact in facts if _shows(fact) and str(fact.value) in symptoms]
    clauses = list(dict.fromkeys(_clause(fact, symptoms[str(fact.value)], book) for fact in told))
    kept = [c for c in clauses if not any(c != other and c.removeprefix("it ") in other for other in clauses)]
    return listed(kept[:MOST_SYMPTOMS])


def _clause(fact: Fact, symptom: Symptom, book: Phrasebook) -> str:
    key = f"sees_{symptom.id}"
    clause = book.say(key) if book.has(key) else book.say("sees_other", label=symptom.label)
    condition = " ".join(_YOURS.get(word, word) for word in fact.condition.lower().split())
    return f"{clause} {condition}" if _JOINS.match(condition) and condition not in clause else clause


def tried_line(facts: Sequence[Fact]) -> str:
    """ "solenoid replaced and batteries tested (fine)": work already done."""
    work = [fact for fact in facts if fact.name == "work_done" and fact.standing.holds]
    return listed(list(dict.fromkeys(f"{f.value} ({f.condition})" if f.condition else str(f.value) for f in work[:4])))


def listed(parts: Sequence[str]) -> str:
    """ "a, b and c"."""
    return " and ".join(part for part in (", ".join(parts[:-1]), *parts[-1:]) if part)


def _plain(value: FactValue) -> str:
    return f"{value:g}" if isinstance(value, int | float) else str(value)

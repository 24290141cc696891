"""Facts as a person types them, checked against the pack: "pack_voltage=48", "lift!=yes", "year="."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from triage.model import Fact, FactValue, Standing
from triage.pack import Pack
from triage.pack.problem import suggest
from triage.pack.schema import FactKind
from triage.unusable import Unusable

_ITEM = re.compile(r"\s*(?P<name>[^=!]*?)\s*(?P<sign>!?=)\s*(?P<value>.*?)\s*", re.DOTALL)


@dataclass(frozen=True, slots=True)
class GivenFacts:
    """What to set and what to take back."""

    facts: tuple[Fact, ...] = ()
    withdrawn: tuple[str, ...] = ()


def given_facts(items: Iterable[str], pack: Pack, by: str) -> GivenFacts:
    """All items checked before anything is changed. Raises Unusable, naming what is wrong with each."""
    facts: list[Fact] = []
    withdrawn: list[str] = []
    wrong: list[str] = []
    for item in items:
        try:
            name, sign, value = _parts(item, pack)
            if value:
                facts.append(_fact(pack.facts[name], sign, _value(pack, name, value), by))
            else:
                withdrawn.append(name)
        except Unusable as error:
            wrong.append(str(error))
    if wrong:
        raise Unusable("\n".join([*wrong, "Nothing was changed."]))
    return GivenFacts(tuple(facts), tuple(withdrawn))


def _parts(item: str, pack: Pack) -> tuple[str, str, str]:
    found = _ITEM.fullmatch(item)
    if not found:
        raise Unusable(f"'{item}' is not NAME=VALUE, such as pack_voltage=48.")
    name = found["name"]
    if name not in pack.facts:
        raise Unusable(f"'{item}': there is no fact '{name}'. {suggest(name, pack.facts)}")
    if found["sign"] == "!=" and not found["value"]:
        raise Unusable(f"'{item}': say what it is not, such as {name}!=VALUE; {name}= takes back what was set.")
    return name, found["sign"], found["value"]


def _fact(kind: FactKind, sign: str, value: FactValue, by: str) -> Fact:
    standing = Standing.DENIED if sign == "!=" else Standing.STATED
    return Fact(kind.id, value, kind.unit, standing, None, f"set by {by}")


def _value(pack: Pack, name: str, value: str) -> FactValue:
    kind = pack.facts[name]
    if kind.kind == "number":
        return _number(kind, value)
    choices = pack.symptoms if name == "symptom" else kind.values if kind.kind == "choice" else ()
    if choices and value not in choices:
        raise Unusable(f"'{name}={value}': not one of its values. {suggest(value, choices)}")
    return value


def _number(kind: FactKind, value: str) -> FactValue:
    bare = value.removesuffix(kind.unit).removesuffix(kind.unit.lower()).strip()
    number = number_or_text(bare)
    if not isinstance(number, int | float):
        raise Unusable(f"'{kind.id}={value}': not a number{f' in {kind.unit}' if kind.unit else ''}.")
    low, high = kind.low, kind.high
    if (low is not None and number < low) or (high is not None and number > high):
        raise Unusable(f"'{kind.id}={value}': outside {low:g} to {high:g} {kind.unit}".rstrip() + ".")
    return number


def number_or_text(value: str) -> FactValue:
    """A number where it is one, else the text as it stands.

    >>> number_or_text("48"), number_or_text("6.50"), number_or_text("yes"), number_or_text("nan")
    (48, 6.5, 'yes', 'nan')
    """
    if not re.fullmatch(r"[+-]?\d+(\.\d+)?", value):
        return value
    number = float(value)
    return int(number) if number.is_integer() else number

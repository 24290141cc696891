"""What a person typed into the search line: words, and facts written NAME=VALUE."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass, field

from triage.model import FactValue
from triage.pack import Pack
from triage.typed_facts import number_or_text

MOST_VALUES = 4


@dataclass(frozen=True, slots=True)
class Sought:
    """Words to find, facts that must hold, and names that are no facts of this pack."""

    words: str = ""
    facts: dict[str, FactValue] = field(default_factory=dict)
    unknown: tuple[str, ...] = ()


def sought(typed: str, names: Container[str]) -> Sought:
    """Take the line apart; a name may be written with "-" for "_".

    >>> sought("hums pack-voltage=48 colour=red", {"pack_voltage"})
    Sought(words='hums', facts={'pack_voltage': 48}, unknown=('colour',))
    """
    words: list[str] = []
    facts: dict[str, FactValue] = {}
    unknown: list[str] = []
    for piece in typed.split():
        name, equals, value = piece.partition("=")
        known_as = name.replace("-", "_").lower()
        if not equals:
            words.append(piece)
        elif known_as in names and value:
            facts[known_as] = number_or_text(value)
        else:
            unknown.append(name)
    return Sought(" ".join(words), facts, tuple(unknown))


def fact_choices(pack: Pack) -> tuple[str, ...]:
    """What the search line offers: facts with a few usual values, "powertrain=electric"."""
    kinds = [kind for kind in pack.facts.values() if kind.kind == "choice" and 0 < len(kind.values) <= MOST_VALUES]
    return tuple(f"{kind.id}={value}" for kind in kinds for value in kind.values if " " not in value)

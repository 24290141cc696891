"""Does an answer's range of vehicles fit what is known? Unknown is not a mismatch."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from triage.model import Fact, FactValue, Standing
from triage.pack.schema import Answer

_STATES = frozenset({"stock", "modified"})
_LABELS = {
    "powertrain": "powertrain",
    "make": "make",
    "model": "model",
    "pack_voltage": "pack voltage",
    "battery_chemistry": "batteries",
    "controller": "controller",
    "controller_type": "kind of controller",
    "year": "year",
}


@dataclass(frozen=True, slots=True)
class Fit:
    """How an answer's scope meets the facts: names that agree, that disagree, and that nobody knows yet."""

    agrees: tuple[str, ...] = ()
    disagrees: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    why: tuple[str, ...] = ()
    against: tuple[str, ...] = ()

    @property
    def excluded(self) -> bool:
        """True when a firm fact speaks against the answer."""
        return bool(self.disagrees)


def scope_values(answer: Answer) -> dict[str, tuple[FactValue, ...]]:
    """The closed facts an answer is limited by: fact name -> values it is for (years: first and last)."""
    scope = answer.applies_to
    values: dict[str, tuple[FactValue, ...]] = {
        "powertrain": (scope.powertrain,) if scope.powertrain else (),
        "make": tuple(scope.makes),
        "model": tuple(scope.models),
        "pack_voltage": tuple(scope.voltages),
        "battery_chemistry": tuple(scope.chemistries),
        "controller": tuple(item for item in scope.controllers if item in _STATES),
        "controller_type": tuple(item for item in scope.controllers if item not in _STATES),
        "year": (scope.year_from or 0, scope.year_to or 9999) if scope.year_from or scope.year_to else (),
    }
    return {name: allowed for name, allowed in values.items() if allowed}


def fit(
    scope: Mapping[str, tuple[FactValue, ...]],
    facts: Mapping[str, Fact],
    denied: Mapping[str, set[FactValue]],
) -> Fit:
    """Hold a scope against what holds of the vehicle and what was denied.

    A hedged fact that disagrees still excludes: the near neighbour is offered again when the hedge is settled.
    """
    agrees, disagrees, unknown, why, against = [], [], [], [], []
    for name, allowed in scope.items():
        fact = facts.get(name)
        if fact is None:
            if _all_denied(name, allowed, denied):
                disagrees.append(name)
                against.append(f"for {_shown(name, allowed)}, which was denied")
            else:
                unknown.append(name)
        elif name == "model" and _may_be_longer(fact.value, allowed):
            unknown.append(name)
        elif value_allowed(name, fact.value, allowed):
            agrees.append(name)
            why.append(f"{_LABELS[name]}: {_plain(fact.value)}")
        else:
            disagrees.append(name)
            against.append(f"for {_shown(name, allowed)}, not {_plain(fact.value)}")
    return Fit(tuple(agrees), tuple(disagrees), tuple(unknown), tuple(why), tuple(against))


def _may_be_longer(value: FactValue, allowed: tuple[FactValue, ...]) -> bool:
    """A plain name may stand for a longer one of the range (people leave the letter off); then it is not settled."""
    plain = str(value).casefold()
    return not value_allowed("model", value, allowed) and any(
        str(a).casefold().startswith(f"{plain} ") for a in allowed
    )


def value_allowed(name: str, value: FactValue, allowed: tuple[FactValue, ...]) -> bool:
    """True when a value lies within the allowed ones; a range of years needs to overlap."""
    if name == "year":
        low, high = _years(value)
        return low <= float(str(allowed[1])) and high >= float(str(allowed[0]))
    if isinstance(value, int | float):
        return any(isinstance(item, int | float) and float(item) == float(value) for item in allowed)
    return str(value).casefold() in {str(item).casefold() for item in allowed}


def _years(value: FactValue) -> tuple[float, float]:
    low, _, high = str(value).partition("-")
    return float(low), float(high or low)


def _all_denied(name: str, allowed: tuple[FactValue, ...], denied: Mapping[str, set[FactValue]]) -> bool:
    refused = denied.get(name, set())
    return (
        name != "year"
        and bool(refused)
        and all(any(value_allowed(name, no, (item,)) for no in refused) for item in allowed)
    )


def _shown(name: str, allowed: tuple[FactValue, ...]) -> str:
    if name == "year":
        low, high = allowed
        return f"{low or '...'} to {'today' if high == 9999 else high}"
    return " or ".join(_plain(item) for item in allowed)


def _plain(value: FactValue) -> str:
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def denied_values(facts: tuple[Fact, ...], vehicle: int = 1) -> dict[str, set[FactValue]]:
    """Fact name -> values the asker denied."""
    result: dict[str, set[FactValue]] = {}
    for fact in facts:
        if fact.standing is Standing.DENIED and fact.vehicle == vehicle:
            result.setdefault(fact.name, set()).add(fact.value)
    return result


def unknown_names(fits: Mapping[str, Fit]) -> Iterator[str]:
    """Names that stand open in any of the fits."""
    seen: set[str] = set()
    for item in fits.values():
        for name in item.unknown:
            if name not in seen:
                seen.add(name)
                yield name

"""Does an answer's range of vehicles fit what is known? Unknown is not a mismatch."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from triage.model import Fact, FactValue, Standing
from triage.pack.schema import Answer, Vehicle

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
class Listed:
    """The names of the catalogue, folded: what is not among them is a vehicle nobody here has written answers for."""

    makes: frozenset[str] = frozenset()
    models: frozenset[str] = frozenset()

    @classmethod
    def of(cls, vehicles: Iterable[Vehicle]) -> Listed:
        """The names of these vehicles."""
        known = tuple(vehicles)
        return cls(frozenset(v.make.casefold() for v in known), frozenset(v.model.casefold() for v in known))

    def is_foreign(self, name: str, facts: Mapping[str, Fact]) -> bool:
        """The told make, or the told model, is not in the catalogue."""
        if name not in ("make", "model") or not self.models:
            return False
        make, model = (str(facts[key].value).casefold() if key in facts else "" for key in ("make", "model"))
        return bool(make and make not in self.makes) or bool(name == "model" and model not in self.models)

    def is_open(self, fact: Fact, facts: Mapping[str, Fact]) -> bool:
        """The catalogue's word on a plain model name that stands for longer ones as well ("Lark", "Lark Li")."""
        if fact.standing is not Standing.INFERRED or "model" not in facts:
            return False
        plain = str(facts["model"].value).casefold()
        return any(model.startswith(f"{plain} ") for model in self.models)


@dataclass(frozen=True, slots=True)
class Fit:
    """How an answer's scope meets the facts: names that agree, that disagree, and that nobody knows yet.

    What disagrees without being told is kept apart: `doubts` where only the catalogue says it, `foreign` where the
    answer is for listed vehicles and the asker's is not in the catalogue, `contested` where what was read is hedged,
    or a value in the answer's range stands in the text as well.
    """

    agrees: tuple[str, ...] = ()
    disagrees: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    foreign: tuple[str, ...] = ()
    contested: tuple[str, ...] = ()
    why: tuple[str, ...] = ()
    against: tuple[str, ...] = ()

    @property
    def excluded(self) -> bool:
        """True when a firm fact speaks against the answer."""
        return bool(self.disagrees)

    @property
    def near(self) -> bool:
        """True for the answer of a near neighbour: shown as such, never sent without asking."""
        return bool(self.doubts or self.contested)


@dataclass(slots=True)
class _Held:
    """What is found while a scope is gone through."""

    names: dict[str, list[str]] = field(default_factory=dict)
    why: list[str] = field(default_factory=list)
    against: list[str] = field(default_factory=list)

    def put(self, kind: str, name: str, why: str = "", against: str = "") -> None:
        self.names.setdefault(kind, []).append(name)
        self.why += [why] if why else []
        self.against += [against] if against else []

    def fit(self) -> Fit:
        kinds = {kind: tuple(names) for kind, names in self.names.items()}
        return Fit(**kinds, why=tuple(self.why), against=tuple(self.against))


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
    listed: Listed = Listed(),
    mentioned: Mapping[str, set[FactValue]] = {},
) -> Fit:
    """Hold a scope against what holds of the vehicle and what was denied.

    A fact that disagrees excludes. Not so where it is hedged, or where a value in the answer's range is `mentioned`
    beside it (planned, past, of a second vehicle): then the answer is a near neighbour, in case the wrong one was read.
    So it is where only the catalogue speaks against, of a name that stands for several models, and for a make or model
    that is not listed at all.
    """
    held = _Held()
    for name, allowed in scope.items():
        fact = facts.get(name)
        if fact is None:
            if _all_denied(name, allowed, denied):
                held.put("disagrees", name, against=f"for {_shown(name, allowed)}, which was denied")
            else:
                held.put("unknown", name)
        elif name == "model" and _may_be_longer(fact.value, allowed):
            held.put("unknown", name)
        elif value_allowed(name, fact.value, allowed):
            held.put("agrees", name, why=f"{_LABELS[name]}: {_plain(fact.value)}")
        else:
            against = f"for {_shown(name, allowed)}, not {_plain(fact.value)}"
            contested = fact.standing is Standing.HEDGED or _any_allowed(name, mentioned.get(name, ()), allowed)
            held.put(_how_firmly(name, facts, listed, contested), name, against=against)
    return held.fit()


def _how_firmly(name: str, facts: Mapping[str, Fact], listed: Listed, contested: bool) -> str:
    if listed.is_foreign(name, facts):
        return "foreign"
    if listed.is_open(facts[name], facts):
        return "doubts"
    return "contested" if contested else "disagrees"


def _any_allowed(name: str, values: Iterable[FactValue], allowed: tuple[FactValue, ...]) -> bool:
    return any(value_allowed(name, value, allowed) for value in values)


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


def denied_values(facts: Iterable[Fact], vehicle: int = 1) -> dict[str, set[FactValue]]:
    """Fact name -> values the asker denied."""
    result: dict[str, set[FactValue]] = {}
    for fact in facts:
        if fact.standing is Standing.DENIED and fact.vehicle == vehicle:
            result.setdefault(fact.name, set()).add(fact.value)
    return result


def mentioned_values(facts: Iterable[Fact]) -> dict[str, set[FactValue]]:
    """Fact name -> every value told of the asker's vehicles, of whichever time; not those denied or of others."""
    result: dict[str, set[FactValue]] = {}
    for fact in facts:
        if fact.standing not in (Standing.DENIED, Standing.OTHER):
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

"""What was told of one vehicle, laid out so that rules can hold it against the catalogue."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from triage.language.stem import folded
from triage.model import Fact, FactValue, Standing
from triage.pack import Pack
from triage.pack.schema import Vehicle

# of denials only those that tell an absence are kept, see _is_absence
_FIRMEST_FIRST = (Standing.CORRECTED, Standing.STATED, Standing.HEDGED, Standing.DENIED, Standing.INFERRED)


@dataclass(frozen=True)
class Told:
    """The facts that hold of one vehicle, the catalogue entries it can be by name, and the pack's limits."""

    facts: tuple[Fact, ...]
    pack: Pack
    family: tuple[Vehicle, ...] = ()  # the named model, and those of its make whose names begin with it
    excused: frozenset[str] = frozenset()  # facts that a told change takes away from the catalogue

    def best(self, name: str) -> Fact | None:
        """The firmest fact of a name; None when nothing holds, or when two values are told with equal firmness."""
        named = [fact for fact in self.facts if fact.name == name]
        for standing in _FIRMEST_FIRST:
            level = [fact for fact in named if fact.standing is standing]
            if level:
                return level[0] if len({fact.value for fact in level}) == 1 else None
        return None

    def said(self, name: str) -> Fact | None:
        """As best, but only what the asker's own words tell."""
        fact = self.best(name)
        return fact if fact is not None and fact.standing is not Standing.INFERRED else None

    def every(self, name: str) -> tuple[Fact, ...]:
        """All facts of a repeating name, in order."""
        return tuple(fact for fact in self.facts if fact.name == name)

    def is_lithium(self) -> bool:
        """Whether any word or the catalogue makes the pack lithium; lead-acid rules stay silent then."""
        return any(fact.value == "lithium" for fact in self.every("battery_chemistry"))

    def limit(self, name: str) -> float | None:
        """A limit of the pack's trade part; None silences the rule that needs it."""
        limit = self.pack.limits.get(name)
        return limit.value if limit else None

    def source(self, name: str) -> str:
        """The source of a limit."""
        return self.pack.limits[name].source

    def ask(self, name: str) -> str:
        """The pack's own question for a fact."""
        kind = self.pack.facts.get(name)
        return kind.ask if kind else ""

    @property
    def label(self) -> str:
        """Make and model as the catalogue spells them; "" when no entry is named."""
        return f"{self.family[0].make} {self.family[0].model}" if self.family else ""


def told_of(facts: Iterable[Fact], vehicle: int, pack: Pack) -> Told:
    """What holds of one vehicle of a question."""
    all_of_it = tuple(fact for fact in facts if fact.vehicle == vehicle)
    own = tuple(fact for fact in all_of_it if fact.standing.holds or _is_absence(fact))
    family = _family(own, pack.vehicles)
    return Told((*own, *_made_with_lithium(own, family)), pack, family, _excused(own, pack))


def chemistry_of(vehicle: Vehicle) -> str | None:
    """The listed chemistry; one block of pack voltage is never lead."""
    return vehicle.battery_chemistry or ("lithium" if (vehicle.batteries or "").startswith("1x") else None)


def _made_with_lithium(facts: Sequence[Fact], family: Sequence[Vehicle]) -> Iterator[Fact]:
    """A model made with lithium only is lithium, even where something else told keeps the catalogue from fitting."""
    told = any(fact.name == "battery_chemistry" for fact in facts)
    if family and not told and all(chemistry_of(vehicle) == "lithium" for vehicle in family):
        yield Fact("battery_chemistry", "lithium", "", Standing.INFERRED, None, "catalogue", facts[0].vehicle)


def _is_absence(fact: Fact) -> bool:
    """ "not lifted" is read as a lift of 0 in, denied: of all denials it tells a value that holds."""
    return fact.standing is Standing.DENIED and fact.value == 0


def _family(facts: Sequence[Fact], vehicles: Sequence[Vehicle]) -> tuple[Vehicle, ...]:
    models = {str(fact.value).casefold() for fact in facts if fact.name == "model"}
    makes = {str(fact.value).casefold() for fact in facts if fact.name == "make"}
    plain = min(models, key=len, default="")
    if not plain or any(not model.startswith(plain) for model in models):
        return ()
    exact = [v for v in vehicles if v.model.casefold() == plain]
    built_by = {v.make.casefold() for v in exact}
    chosen = built_by & makes or built_by
    longer = [v for v in vehicles if v.model.casefold().startswith(f"{plain} ")]
    return tuple(v for v in (*exact, *longer) if v.make.casefold() in chosen)


def _excused(facts: Sequence[Fact], pack: Pack) -> frozenset[str]:
    changes = {str(fact.value) for fact in facts if fact.name in ("modification", "work_done")}
    changes |= {f"{fact.name} {fact.value}" for fact in facts}
    told = {folded(change) for change in changes}  # "batteries replaced" is "battery replaced"
    return frozenset(name for id, excuse in pack.excuses.items() if folded(id) in told for name in excuse.explains)


def number(fact: Fact | None) -> float | None:
    """The value of a fact as a number; None when there is none."""
    return float(fact.value) if fact is not None and isinstance(fact.value, int | float) else None


def readings(fact: Fact) -> tuple[float, ...]:
    """The values of a measurement: several for a list, one for a single reading, none for words."""
    if isinstance(fact.value, tuple):
        return fact.value
    return () if isinstance(fact.value, str) else (float(fact.value),)


def same(a: str, b: FactValue) -> bool:
    """Whether two names are the same but for capitals."""
    return a.casefold() == str(b).casefold()

"""Facts that no catalogue entry of the named model fits, alone or two together."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from triage.conflicts.listing import described, fits, likely
from triage.conflicts.told import Told, number, same
from triage.conflicts.wording import article, conflict, listed, once_more, plain, shown
from triage.model import Conflict, Fact, Standing
from triage.pack.schema import Vehicle

_SOURCE = "catalogue"
_NAMES = (
    "powertrain",
    "year",
    "pack_voltage",
    "battery_chemistry",
    "direction_switch",
    "throttle_sensor",
    "controller_type",
)
_IDS = {"year": "year_outside_production", "pack_voltage": "voltage_against_model"}
_CHANGEABLE = frozenset({"pack_voltage", "direction_switch", "throttle_sensor", "controller_type"})
_BESIDE = 25  # characters: "Make: ... / Year: 2009 / Model: ..."
_CHECK = "Could you check that once more?"
_LAYOUT = ("battery_count", "battery_voltage")


def against_make(told: Told) -> Iterator[Conflict]:
    """A model said with a listed make that does not build it; an unlisted maker may have a model of that name."""
    make, model = told.said("make"), told.said("model")
    if not (make and model and told.family and _said_together(make, model)):
        return
    if not any(same(listed_make, make.value) for listed_make in told.pack.makes()):
        return
    if any(same(vehicle.make, make.value) for vehicle in told.family):
        return
    builders = listed(vehicle.make for vehicle in told.family)
    yield conflict(
        "make_against_model",
        (make, model),
        f"{article(str(make.value))} {model.value}",
        f"the catalogue has the {model.value} from {builders}",
        once_more(told.ask("make")),
        _SOURCE,
    )


def _said_together(make: Fact, model: Fact) -> bool:
    """Whether a make and a model stand side by side: apart, they may be of two vehicles."""
    if not make.span or not model.span or make.message != model.message:
        return True
    gap = max(make.span.start - model.span.end, model.span.start - make.span.end)
    return gap <= _BESIDE


def against_model(told: Told) -> Iterator[Conflict]:
    """A fact that fits no entry of the model; failing that, two facts that fit none together."""
    spread = told.limit("same_voltage")
    if not told.family or spread is None:
        return
    facts = list(_comparable(told))
    alone = [fact for fact in facts if not _entries(told.family, (fact,), spread)]
    yield from (_alone(told, fact) for fact in alone)
    rest = [fact for fact in facts if fact not in alone]
    for pair in combinations(rest, 2):
        if not _entries(told.family, pair, spread):
            yield _together(told, pair, spread)
            return


def _comparable(told: Told) -> Iterator[Fact]:
    for name in _NAMES:
        fact = _SAYING.get(name, Told.said)(told, name)
        if fact is not None and name not in told.excused:
            yield fact


def _year_told(told: Told, name: str) -> Fact | None:
    """The year said; of several, one the model was made in: the others are of a purchase, a repair, a memory."""
    years = [fact for fact in told.every(name) if fact.standing is not Standing.INFERRED]
    return next((fact for fact in years if _entries(told.family, (fact,), 1.0)), told.said(name))


def _pack_told(told: Told, name: str) -> Fact | None:
    """The pack voltage said, or what the told batteries make in series."""
    count, each = told.said("battery_count"), told.said("battery_voltage")
    if (said := told.said(name)) or not count or not each:
        return said
    total = (number(count) or 0) * (number(each) or 0)
    hedged = Standing.HEDGED in (count.standing, each.standing)
    standing = Standing.HEDGED if hedged else count.standing
    return replace(count, name=name, value=total, unit="V", standing=standing)


_SAYING: dict[str, Callable[[Told, str], Fact | None]] = {"year": _year_told, "pack_voltage": _pack_told}


def _entries(family: Sequence[Vehicle], facts: Sequence[Fact], spread: float) -> list[Vehicle]:
    return [vehicle for vehicle in family if all(fits(vehicle, fact, spread) for fact in facts)]


def _alone(told: Told, fact: Fact) -> Conflict:
    return conflict(
        _IDS.get(fact.name, f"{fact.name}_against_model"),
        (fact, _model(told)),
        _claim(told, (fact,)),
        described(told.family, (fact.name,)),
        _ask(told, (fact,)),
        _SOURCE,
    )


def _together(told: Told, pair: tuple[Fact, Fact], spread: float) -> Conflict:
    a, b = pair
    near = [*_entries(told.family, (a,), spread), *_entries(told.family, (b,), spread)]
    return conflict(
        f"{a.name}_with_{b.name}",
        (*pair, _model(told)),
        _claim(told, pair),
        described((vehicle for vehicle in told.family if vehicle in near), (a.name, b.name)),
        _ask(told, sorted(pair, key=lambda fact: fact.standing is not Standing.HEDGED)),
        _SOURCE,
    )


def _model(told: Told) -> Fact:
    return told.best("model") or Fact("model", told.family[0].model)


def _claim(told: Told, facts: Sequence[Fact]) -> str:
    """ "a 2004 petrol Lark", "a Lark with 48 V and a mechanical lever"."""
    before = [plain(fact.value) for fact in facts if fact.name in ("year", "powertrain")]
    after = [_feature(fact) for fact in facts if fact.name not in ("year", "powertrain")]
    return " with ".join(part for part in (article(" ".join([*before, told.label])), " and ".join(after)) if part)


def _feature(fact: Fact) -> str:
    words = {
        "battery_chemistry": f"{fact.value} batteries",
        "throttle_sensor": article(f"{fact.value} pedal sensor"),
        "direction_switch": article(str(fact.value)),
        "controller_type": article(f"{fact.value} motor or controller"),
    }
    return words.get(fact.name, shown(fact))


def _ask(told: Told, facts: Sequence[Fact]) -> str:
    question = next((once_more(told.ask(fact.name)) for fact in facts if told.ask(fact.name)), _CHECK)
    if all(fact.name not in _CHANGEABLE for fact in facts):
        return question
    return f"{question} Or has it been changed since it was made?"


def original_layout(told: Told) -> Iterator[Conflict]:
    """Batteries said to be the original ones, in a number or kind the model was not made with."""
    original = told.said("pack_original") or told.said("all_stock")
    if original is None or not told.family:
        return
    made = [vehicle for vehicle in likely(told) if vehicle.batteries]
    for name in _LAYOUT:
        fact = told.said(name)
        if fact and made and name not in told.excused and not any(fits(v, fact, 1.0) for v in made):
            claim = f"{shown(fact)} batteries as the original ones of {article(told.label)}"
            ask = "Could the batteries have been changed before you had it?"
            yield conflict(
                f"{name}_against_model", (fact, _model(told)), claim, described(made, ("batteries",)), ask, _SOURCE
            )
            return

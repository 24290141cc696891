"""Closed facts: are they found with the right value, and is their standing right?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import TypeVar, get_args

from eval.cases import Case, Mistake
from eval.catalogue import is_called
from eval.counts import Counts, Share, share_of
from eval.labels import ClosedFact, ToldFact
from eval.pairing import Paired, pair
from eval.values import plain, same_value
from triage.model import Fact, Standing

NAMES: tuple[str, ...] = get_args(ClosedFact)
_ASSERTED = frozenset({Standing.STATED, Standing.HEDGED, Standing.CORRECTED})

F = TypeVar("F", ToldFact, Fact)
Pairs = Paired[ToldFact, Fact]


def pair_facts(case: Case) -> Pairs:
    """Facts that hold, label against reading, by name and value.

    What the program asserts must be labelled as holding. What it infers only meets a label that is inferred as well:
    an inference that no label speaks of (from the catalogue) is neither right nor wrong.
    """
    there = _once([fact for fact in case.gold.facts if fact.standing.holds])
    told = [fact for fact in _closed(case) if fact.standing.holds]
    paired = pair(there, _once(told), lambda gold, found: _likeness(case, gold, found), 1.0)
    false = tuple(fact for fact in paired.false if fact.standing in _ASSERTED)
    return Paired(paired.pairs, paired.missed, false)


def _closed(case: Case) -> list[Fact]:
    return [fact for fact in case.reading.facts if fact.name in NAMES]


def _once(facts: Iterable[F]) -> list[F]:
    """Each name and value once; one the words tell goes before one inferred."""
    kept: dict[tuple[str, object], F] = {}
    for fact in sorted(facts, key=lambda fact: fact.standing is Standing.INFERRED):
        kept.setdefault((fact.name, plain(fact.value)), fact)
    return list(kept.values())


def _likeness(case: Case, gold: ToldFact, found: Fact) -> float:
    if found.standing is Standing.INFERRED and gold.standing is not Standing.INFERRED:
        return 0.0
    return float(_same(case, gold, found))


def _same(case: Case, gold: ToldFact, other: ToldFact | Fact) -> bool:
    if gold.name != other.name:
        return False
    return _is_fuller(case, gold, str(other.value)) or same_value(gold.name, gold.value, other.value)


def _is_fuller(case: Case, gold: ToldFact, value: str) -> bool:
    """The catalogue's fuller name of the asker's own model is right as well."""
    own_model = gold.name == "model" and gold.standing.holds
    return own_model and value in case.models and is_called(value, str(gold.value))


def by_name(cases: Iterable[Case]) -> dict[str, Counts]:
    """Counts of each fact, in the order of NAMES."""
    result = dict.fromkeys(NAMES, Counts())
    for case in cases:
        paired = pair_facts(case)
        for gold, _ in paired.pairs:
            result[gold.name] += Counts(true=1)
        for gold in paired.missed:
            result[gold.name] += Counts(missed=1)
        for found in paired.false:
            result[found.name] += Counts(false=1)
    return result


def total(cases: Iterable[Case]) -> Counts:
    """Counts over all facts."""
    return sum(by_name(cases).values(), Counts())


def pair_standings(case: Case) -> Pairs:
    """Facts of any standing found in both, by name and value; where a value is told twice, equal standings meet."""

    def likeness(gold: ToldFact, found: Fact) -> float:
        return _same(case, gold, found) * (2.0 if gold.standing is found.standing else 1.0)

    return pair(case.gold.facts, _closed(case), likeness, 1.0)


def standings(cases: Iterable[Case]) -> Counter[tuple[Standing, Standing]]:
    """How often a fact labelled with the first standing was read with the second."""
    return Counter((gold.standing, found.standing) for case in cases for gold, found in pair_standings(case).pairs)


def standing_share(cases: Iterable[Case]) -> Share:
    """Share of the facts found in both that have the same standing."""
    table = standings(cases)
    return Share(sum(n for (gold, found), n in table.items() if gold is found), table.total())


def taken_as_true(case: Case) -> list[tuple[ToldFact, Fact]]:
    """Serious: denied, planned, past or another's fact that the program holds true of the asker's vehicle today.

    What the catalogue infers counts only against a denial: a neighbour's voltage may well be the asker's too.
    """
    holding = [fact for fact in case.gold.facts if fact.standing.holds]
    result = []
    for gold in case.gold.facts:
        if gold.standing.holds or any(_same(case, gold, other) for other in holding):
            continue
        result += [(gold, found) for found in _closed(case) if _holds_true(gold, found) and _same(case, gold, found)]
    return result


def _holds_true(gold: ToldFact, found: Fact) -> bool:
    return found.standing in _ASSERTED or (found.standing is Standing.INFERRED and gold.standing is Standing.DENIED)


def serious_share(cases: Iterable[Case]) -> Share:
    """Share of the facts that do not hold which were taken as true."""
    told = []
    for case in cases:
        wrong = [gold for gold, _ in taken_as_true(case)]
        told += [gold in wrong for gold in case.gold.facts if not gold.standing.holds]
    return share_of(told)


def mistakes(case: Case) -> Iterator[Mistake]:
    """Facts missed, made up, of another standing, or wrongly taken as true."""
    paired = pair_facts(case)
    yield from (Mistake("fact missed", shown(fact), _others(fact.name, case)) for fact in paired.missed)
    yield from (Mistake("fact made up", _labelled(fact.name, case), shown(fact)) for fact in paired.false)
    for gold, found in pair_standings(case).pairs:
        if gold.standing is not found.standing:
            yield Mistake("standing", shown(gold), shown(found))
    for gold, found in taken_as_true(case):
        yield Mistake("serious: taken as true", shown(gold), shown(found))


def shown(fact: ToldFact | Fact) -> str:
    """A fact in one line: "pack_voltage 48 (stated)"."""
    return f"{fact.name} {fact.value} ({fact.standing.value})"


def _others(name: str, case: Case) -> list[str]:
    return [shown(fact) for fact in _closed(case) if fact.name == name]


def _labelled(name: str, case: Case) -> list[str]:
    return [shown(fact) for fact in case.gold.facts if fact.name == name]

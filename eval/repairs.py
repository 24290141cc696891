"""What finding the fault costs: checks in the program's order against simpler orders, on faults drawn from the network.

    python -m eval.repairs [--cases 500] [--seed 0]

Each case draws a vehicle, a fault and the symptoms it shows from the pack's own network, so that the result tells how
much the order of the checks is worth where the network is right; it says nothing of whether it is.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from eval.resample import mean_with
from eval.tables import table
from triage.diagnosis import Evidence, beliefs, order_checks
from triage.diagnosis.causes import possible
from triage.diagnosis.checks import applies, cost
from triage.model import CauseBelief, FactValue
from triage.pack import Pack, load
from triage.pack.schema import Cause, Check

LAST_RESORT = 120.0  # minutes in the workshop when no check has found it; common practice, no source
MOST_TOLD = 3  # symptoms an asker tells
KNOWLEDGE = Path(__file__).parent.parent / "knowledge"

Facts = Mapping[str, FactValue]
Order = Callable[["Case"], Sequence[Check]]


@dataclass(frozen=True, slots=True)
class Case:
    """A fault nobody knows yet: what is known of the vehicle, what was told, and the checks that could find it."""

    fault: str
    facts: Facts
    symptoms: frozenset[str]
    beliefs: tuple[CauseBelief, ...]
    checks: tuple[Check, ...]  # in the order of the file

    def probability(self, check: Check) -> float:
        """P(the check finds the fault)."""
        return sum(belief.probability for belief in self.beliefs if belief.cause in check.causes)


def draw(pack: Pack, cases: int, seed: int) -> Iterator[Case]:
    """Cases in which something was told; a fault and what else shows beside it are drawn as the network has them."""
    chance = np.random.default_rng(seed)
    while cases:
        facts = _vehicle(pack, chance)
        causes = [cause for cause in pack.causes.values() if possible(cause, facts)]
        priors = np.array([cause.prior for cause in causes])
        fault = causes[int(chance.choice(len(causes), p=priors / priors.sum()))]
        told = _told(pack, fault, facts, chance)
        if told & fault.symptoms.keys():
            yield _case(pack, fault, facts, told)
            cases -= 1


def _vehicle(pack: Pack, chance: np.random.Generator) -> Facts:
    vehicle = pack.vehicles[int(chance.integers(len(pack.vehicles)))]
    named = {"powertrain": vehicle.powertrain, "battery_chemistry": vehicle.battery_chemistry}
    return {name: value for name, value in named.items() if value is not None}


def _told(pack: Pack, fault: Cause, facts: Facts, chance: np.random.Generator) -> frozenset[str]:
    """Symptoms of the fault, and those that show for other reasons; an asker tells a few of them."""
    shows = []
    for symptom in pack.symptoms.values():
        if symptom.powertrain not in ("any", facts["powertrain"]):
            continue
        p = 1 - (1 - fault.symptoms.get(symptom.id, 0.0)) * (1 - symptom.leak)
        if chance.random() < p:
            shows.append(symptom.id)
    if not shows:
        return frozenset()
    picked = chance.permutation(len(shows))[:MOST_TOLD]
    return frozenset(shows[int(number)] for number in picked)


def _case(pack: Pack, fault: Cause, facts: Facts, told: frozenset[str]) -> Case:
    found = beliefs(pack.causes.values(), pack.symptoms, Evidence(told), facts, least=0.0)
    thought_of = {belief.cause for belief in found}
    checks = (check for check in pack.checks.values() if applies(check, facts))
    return Case(fault.id, facts, told, found, tuple(c for c in checks if not thought_of.isdisjoint(c.causes)))


def ours(case: Case) -> Sequence[Check]:
    """The program's order."""
    named = {check.id: check for check in case.checks}
    steps = order_checks(case.checks, case.beliefs, case.facts, limit=len(case.checks), least=1e-12)
    return [named[step.check] for step in steps]


ORDERS: Mapping[str, Order] = {
    "the program": ours,
    "order of the file": lambda case: case.checks,
    "probability alone": lambda case: sorted(case.checks, key=lambda check: (-case.probability(check), check.id)),
    "cheapest first": lambda case: sorted(case.checks, key=lambda check: (cost(check), check.id)),
}


def price(case: Case, order: Sequence[Check]) -> float:
    """Minutes until the fault is found, else of all checks and the workshop.

    Whatever the order, a check is passed over when earlier ones have cleared all it examines of what was thought of.
    """
    spent, left = 0.0, {belief.cause for belief in case.beliefs}
    for check in order:
        if left.isdisjoint(check.causes):
            continue
        spent += cost(check)
        left.difference_update(check.causes)
        if case.fault in check.causes:
            return spent
    return spent + LAST_RESORT


def compare(cases: Sequence[Case]) -> Mapping[str, list[float]]:
    """Minutes of every case in each order."""
    return {name: [price(case, order(case)) for case in cases] for name, order in ORDERS.items()}


def report(prices: Mapping[str, list[float]]) -> str:
    """A table with means and their intervals; saved is against the order, case by case."""
    own = prices["the program"]
    rows = []
    for name, minutes in prices.items():
        saved = [other - mine for other, mine in zip(minutes, own, strict=True)]
        rows.append([name, mean_with(minutes), "–" if name == "the program" else mean_with(saved)])
    head = f"{len(own)} faults drawn from the network; mean minutes until found, with 95 % bootstrap intervals.\n\n"
    return head + table(["order of the checks", "minutes", "more than the program's"], rows)


def main(arguments: Sequence[str] | None = None) -> int:
    """The command; returns its exit code."""
    parser = argparse.ArgumentParser(prog="python -m eval.repairs", description="What the order of checks is worth.")
    parser.add_argument("--cases", type=int, default=500)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--pack", type=Path, default=KNOWLEDGE)
    options = parser.parse_args(arguments)
    print(report(compare(list(draw(load(options.pack), options.cases, options.seed)))))
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""What to ask next: at most three facts by how much likelier the right answer and cause become, less the trouble."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from triage.gaps.belief import Belief, Candidate, Explain, Floats, believe, cause_gain, channel, gain
from triage.gaps.vehicles import NAMES, Situation
from triage.model import Fact, Gap, Standing
from triage.pack.schema import FactKind

MOST = 3
EFFORT_COST = 0.01  # of probability, per step of effort
DANGER_COST = 0.05
BRANCH_WORTH = 0.06  # knowing a fact that the likely answer branches on cuts the reply to one branch
NEED_WORTH = 0.04  # a need it does not branch on only helps whoever answers
FOLLOWS_WORTH = 0.09  # a lamp that blinks: its code goes before what only chooses a branch
LEAST = 0.02
UNCLEAR = 0.25  # below this no answer is likely
CONTRADICTED = 0.2  # the serial number tells which vehicle it is, when what was told does not fit the one named
PACK = "pack_voltage"
PARTS_OF_PACK = {"battery_count": "battery_voltage", "battery_voltage": "battery_count"}
PACK_FACTS = frozenset({PACK, *PARTS_OF_PACK, "battery_chemistry"})
PRESUMED = 0.15  # share of vehicles without a pack from which it is not taken for granted
POWERTRAIN, SERIAL, STORY, YEAR, MODEL = "powertrain", "serial", "symptom", "year", "model"
TOLD = frozenset({"symptom", "measurement", "work_done", "modification", "intent"})  # any of them tells what is wanted


@dataclass(frozen=True, slots=True)
class Told:
    """What else bears on what is worth asking."""

    symptoms: frozenset[str] = frozenset()
    aside: frozenset[str] = frozenset()  # asked for and cannot be known, or told as a wish, or denied
    contradicted: frozenset[str] = frozenset()  # facts that cannot all be true
    speaks: Mapping[str, Mapping[str, Mapping[str, float]]] = field(default_factory=dict)  # fact: P(value | cause)


@dataclass(frozen=True, slots=True)
class Asking:
    """All that the worth of asking rests on."""

    belief: Belief
    candidates: Sequence[Candidate]
    kinds: Mapping[str, FactKind]
    hedged: Mapping[str, Fact]
    extra: Mapping[str, float]  # worth of facts by what was told, or by the causes, whatever the answer
    doubted: Fact | None = None  # told, and cannot be true with the rest


def choose_gaps(
    candidates: Sequence[Candidate],
    known: Mapping[str, Fact],
    kinds: Mapping[str, FactKind],
    situation: Situation,
    told: Told = Told(),
    explain: Explain = lambda _: {},
) -> tuple[Gap, ...]:
    """At most three facts to ask for, most valuable first; what is found in the same place stands together.

    `situation` tells the vehicles it may be and what is safely known of all. A fact that is stated or safely inferred
    is never asked for; a hedged one may be confirmed.
    """
    usual = {name: kind.usual for name, kind in kinds.items() if kind.usual and name not in known}
    hedged = {name: fact for name, fact in known.items() if fact.standing is Standing.HEDGED}
    belief = believe(situation.states, candidates, explain, usual)
    doubted = _doubted(told.contradicted, hedged)
    extra = _extra(kinds, told, belief, doubted)
    asking = Asking(belief, candidates, kinds, hedged, extra, known.get(doubted))
    names = [name for name in _wanted(asking) if name not in told.aside and _askable(kinds.get(name))]
    names = [name for name in names if name == doubted or _is_open(name, known, situation)]
    chosen = _greedy(asking, [name for name in names if not _only_needed(name, asking)])
    chosen = chosen or _greedy(asking, [name for name in names if not kinds[name].aside])[:1]
    if not chosen and STORY in kinds and _in_the_dark(candidates, known):
        return (Gap(STORY, kinds[STORY].ask, LEAST, kinds[STORY].find_out),)
    return tuple(_grouped(chosen, kinds))


def _in_the_dark(candidates: Sequence[Candidate], known: Mapping[str, Fact]) -> bool:
    """Nothing tells what is wanted, and no answer is likely."""
    return not TOLD & known.keys() and max((candidate.probability for candidate in candidates), default=0.0) < UNCLEAR


def _extra(kinds: Mapping[str, FactKind], told: Told, belief: Belief, doubted: str) -> dict[str, float]:
    worth = {name: cause_gain(belief, table) for name, table in told.speaks.items()}
    for name, kind in kinds.items():
        if not told.symptoms.isdisjoint(kind.follows):
            worth[name] = worth.get(name, 0.0) + FOLLOWS_WORTH
    if doubted:
        worth[doubted] = worth.get(doubted, 0.0) + CONTRADICTED
    return worth


def _doubted(contradicted: frozenset[str], hedged: Collection[str]) -> str:
    """Of facts that cannot all be true the one to look at again: what was not sure, else the plate."""
    unsure = sorted(contradicted.intersection(hedged))
    if unsure:
        return unsure[0]
    if YEAR in contradicted:
        return YEAR
    return SERIAL if MODEL in contradicted else ""


def _wanted(asking: Asking) -> list[str]:
    named = [name for c in asking.candidates for name in (*c.scope, *c.needs, *sorted(c.branches))]
    parts = PARTS_OF_PACK if PACK in named else ()
    return list(dict.fromkeys([*named, *parts, *asking.extra]))


def _askable(kind: FactKind | None) -> bool:
    return kind is not None and bool(kind.ask) and kind.kind != "list"


def _is_open(name: str, known: Mapping[str, Fact], situation: Situation) -> bool:
    """Not told, not safely inferred, and of use when told."""
    if not _fits_sum(name, situation.firm) or (name == YEAR and MODEL not in situation.firm):
        return False  # the year of a model nobody knows tells nothing
    fact = known.get(name)
    if fact is None:
        return True
    if fact.standing is Standing.HEDGED:
        return name not in NAMES or name in situation.firm  # a make that is not listed need not be confirmed
    return fact.standing is Standing.INFERRED and name not in situation.firm


def _fits_sum(name: str, firm: Mapping[str, Fact]) -> bool:
    """Count times volts is the pack: with one of them known the other is looked at, else the pack is asked for."""
    if name == PACK:
        return firm.keys().isdisjoint(PARTS_OF_PACK)
    other = PARTS_OF_PACK.get(name)
    return other is None or other in firm


def _only_needed(name: str, asking: Asking) -> bool:
    """No answer is limited by it or branches on it, no vehicle is told by it, and nothing told leads to it."""
    turned_on = any(name in c.scope or name in c.branches for c in asking.candidates)
    return not turned_on and asking.extra.get(name, 0.0) < LEAST and len(channel(asking.belief, name)) < 2


def _greedy(asking: Asking, names: Sequence[str]) -> list[Gap]:
    """The best fact, then the best beside it, and so on: two facts that tell the same are not both asked for."""
    known: Floats = np.ones((1, len(asking.belief.states)))
    left, chosen = list(names), list[Gap]()
    while left and len(chosen) < MOST:
        best = max((_gap(name, asking, known) for name in left), key=lambda gap: gap.worth)
        if best.worth < LEAST:
            break
        best = _before(best, asking, left)
        chosen.append(best)
        left.remove(best.fact)
        told = channel(asking.belief, best.fact)
        rest = 1 - told.sum(axis=0, keepdims=True)
        known = (known[:, None, :] * np.vstack([told, rest])[None]).reshape(-1, known.shape[1])
    return chosen


def _before(gap: Gap, asking: Asking, left: Sequence[str]) -> Gap:
    """A question about the battery pack presumes there is one: where that is open, it is asked first."""
    without = 1.0 - channel(asking.belief, gap.fact).sum(axis=0)
    open_share = float(without @ asking.belief.shares) if gap.fact in PACK_FACTS else 0.0
    if POWERTRAIN not in left or open_share < PRESUMED:
        return gap
    kind = asking.kinds[POWERTRAIN]
    return Gap(POWERTRAIN, kind.ask, gap.worth, kind.find_out)


def _gap(name: str, asking: Asking, known: Floats) -> Gap:
    kind, hedged = asking.kinds[name], asking.hedged.get(name)
    choice = gain(asking.belief, known, channel(asking.belief, name))
    inner = sum(p * _inner(name, c) for p, c in zip(asking.belief.right, asking.candidates, strict=True))
    cost = EFFORT_COST * (kind.effort - 1) + (DANGER_COST if kind.danger else 0.0)
    worth = kind.tellable * (choice + float(inner) + asking.extra.get(name, 0.0)) - cost
    return Gap(name, _question(kind, hedged, asking.doubted), round(min(max(worth, 0.0), 1.0), 4), kind.find_out)


def _question(kind: FactKind, hedged: Fact | None, doubted: Fact | None) -> str:
    if hedged:
        return f"You thought the {kind.label} might be {shown(hedged)}: can you confirm that?"
    if doubted and doubted.name == kind.id:
        return f"The {kind.label} you gave, {shown(doubted)}, does not fit the rest: can you check it?"
    return kind.ask


def _inner(name: str, candidate: Candidate) -> float:
    if name in candidate.branches or (name in PARTS_OF_PACK and PACK in candidate.branches):
        return BRANCH_WORTH
    return NEED_WORTH if name in candidate.needs else 0.0


def shown(fact: Fact) -> str:
    """A fact's value with its unit, as written in a reply."""
    value = f"{fact.value:g}" if isinstance(fact.value, int | float) else str(fact.value)
    return f"{value} {fact.unit}".strip()


def _grouped(gaps: Sequence[Gap], kinds: Mapping[str, FactKind]) -> list[Gap]:
    """What is found out in the same place goes together, behind the most valuable of it."""
    places = list(dict.fromkeys(kinds[gap.fact].place or gap.fact for gap in gaps))
    return sorted(gaps, key=lambda gap: places.index(kinds[gap.fact].place or gap.fact))

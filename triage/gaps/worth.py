"""The value of knowing a fact: how much likelier the right answer becomes, less the cost of asking."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from triage.model import Fact, FactValue, Gap, Standing
from triage.pack.schema import FactKind

MOST = 3
EFFORT_COST = 0.01  # of probability, per step of effort
DANGER_COST = 0.05
BRANCH_WORTH = 0.15  # knowing a fact that the likely answer branches on cuts the reply to one branch
NEED_WORTH = 0.05  # a need it does not branch on only helps whoever answers
LEAST = 0.02


@dataclass(frozen=True, slots=True)
class Candidate:
    """An answer still in play: its probability, the values of each fact it is for, and the facts it needs."""

    probability: float
    scope: Mapping[str, tuple[FactValue, ...]]
    needs: tuple[str, ...]
    branches: frozenset[str] = frozenset()  # facts its text branches on


def choose_gaps(
    candidates: Sequence[Candidate],
    known: Mapping[str, Fact],
    kinds: Mapping[str, FactKind],
    usual: Mapping[str, Mapping[FactValue, float]],
    settled: frozenset[str] = frozenset(),
) -> tuple[Gap, ...]:
    """At most three facts to ask for, most valuable first.

    `usual` gives P(value) of a fact among the vehicles that still fit. A fact that is stated or safely inferred is
    never asked for; a hedged one may be confirmed. `settled` names facts that were asked for and cannot be known.
    """
    names = _open_names(candidates, known, kinds, settled)
    gaps = [_gap(name, kinds[name], candidates, known.get(name), usual.get(name, {})) for name in names]
    ranked = sorted((gap for gap in gaps if gap.worth >= LEAST), key=lambda gap: (-gap.worth, gap.fact))
    return tuple(ranked[:MOST])


def _open_names(
    candidates: Sequence[Candidate],
    known: Mapping[str, Fact],
    kinds: Mapping[str, FactKind],
    settled: frozenset[str],
) -> list[str]:
    wanted = dict.fromkeys(name for c in candidates for name in (*c.scope, *c.needs, *sorted(c.branches)))
    return [
        name
        for name in wanted
        if name in kinds and kinds[name].ask and name not in settled and _is_open(known.get(name))
    ]


def _is_open(fact: Fact | None) -> bool:
    return fact is None or fact.standing is Standing.HEDGED


def _gap(
    name: str,
    kind: FactKind,
    candidates: Sequence[Candidate],
    hedged: Fact | None,
    usual: Mapping[FactValue, float],
) -> Gap:
    gain = _choice_gain(name, candidates, usual) if hedged is None else _choice_gain(name, candidates, usual) * 0.5
    branch = sum(c.probability * _inner_worth(name, c) for c in candidates)
    cost = EFFORT_COST * (kind.effort - 1) + (DANGER_COST if kind.danger else 0.0)
    worth = max(gain, branch) - cost
    ask = (
        kind.ask if hedged is None else f"You thought the {kind.label} might be {_shown(hedged)}: can you confirm that?"
    )
    return Gap(name, ask, round(max(worth, 0.0), 4), kind.find_out)


def _inner_worth(name: str, candidate: Candidate) -> float:
    if name in candidate.branches:
        return BRANCH_WORTH
    return NEED_WORTH if name in candidate.needs else 0.0


def _shown(fact: Fact) -> str:
    value = f"{fact.value:g}" if isinstance(fact.value, int | float) else str(fact.value)
    return f"{value} {fact.unit}".strip()


def _choice_gain(name: str, candidates: Sequence[Candidate], usual: Mapping[FactValue, float]) -> float:
    """Expected probability of the best answer when the fact is known, less that of the best now."""
    values = _values(name, candidates, usual)
    if len(values) < 2:
        return 0.0
    total = sum(candidate.probability for candidate in candidates)
    now = max((candidate.probability for candidate in candidates), default=0.0)
    known = 0.0
    for value, share in values.items():
        known += max(
            (
                share * candidate.probability / _covered(candidate, name, values)
                for candidate in candidates
                if _allows(candidate, name, value)
            ),
            default=0.0,
        )
    return max(0.0, min(known, total) - now)


def _covered(candidate: Candidate, name: str, values: Mapping[FactValue, float]) -> float:
    """Share of the vehicles an answer is for: P(value | answer) = share / covered."""
    return sum(share for value, share in values.items() if _allows(candidate, name, value)) or 1.0


def _allows(candidate: Candidate, name: str, value: FactValue) -> bool:
    allowed = candidate.scope.get(name)
    if not allowed:
        return True
    if name == "year":
        return float(str(allowed[0])) <= float(str(value)) <= float(str(allowed[1]))
    return any(_same(item, value) for item in allowed)


def _same(a: FactValue, b: FactValue) -> bool:
    """36 and 36.0 are the same, and so are "AGM" and "agm"."""
    if isinstance(a, int | float) and isinstance(b, int | float):
        return float(a) == float(b)
    return str(a).casefold() == str(b).casefold()


def _values(name: str, candidates: Sequence[Candidate], usual: Mapping[FactValue, float]) -> dict[FactValue, float]:
    """Values worth telling apart with their shares: the catalogue's, else every value an answer names, alike."""
    if usual:
        return dict(usual)
    named = dict.fromkeys(_normal(value) for candidate in candidates for value in candidate.scope.get(name, ()))
    return {value: 1 / len(named) for value in named} if named else {}


def _normal(value: FactValue) -> FactValue:
    return float(value) if isinstance(value, int | float) else value

"""What is believed together of the vehicle, the right answer and the cause, and what knowing a fact would add."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from triage.gaps.vehicles import State, same, span_of
from triage.model import FactValue

WORDING = 0.7  # how far the likeness of the wording speaks for a vehicle: 0 not at all, 1 as much as for an answer
USUAL_COUNT = 0.2  # answers for one model that usual shares count as much as
ANY = ""  # in P(value | cause): every cause that is not named
CAUSE_WEIGHT = 0.25  # the right cause beside the right answer

Floats = NDArray[np.float64]
Shares = Mapping[str, float]  # P(value)
Explain = Callable[[Mapping[str, FactValue]], Mapping[str, float]]  # a vehicle's facts -> P(cause)


@dataclass(frozen=True, slots=True)
class Candidate:
    """An answer still in play: its probability, the values of each fact it is for, and the facts it needs."""

    probability: float
    scope: Mapping[str, tuple[FactValue, ...]]
    needs: tuple[str, ...] = ()
    branches: frozenset[str] = frozenset()  # facts its text branches on
    vector: Floats = field(default_factory=lambda: np.zeros(1))  # of its whole text, of length 1; zeros: like no other


@dataclass(frozen=True)
class Belief:
    """P(vehicle, answer) and P(vehicle, cause); a row for each vehicle it may be."""

    states: tuple[State, ...]
    shares: Floats  # P(vehicle)
    answers: Floats  # (states, answers)
    causes: Floats  # (states, causes)
    names: tuple[str, ...] = ()  # of the causes

    @property
    def right(self) -> Floats:
        """P(answer), whatever the vehicle."""
        return np.asarray(self.answers.sum(axis=0), np.float64)


def believe(
    states: Sequence[State], candidates: Sequence[Candidate], explain: Explain, usual: Mapping[str, Shares]
) -> Belief:
    """Join what is known of the vehicle with how likely each answer is by its wording.

    P(vehicle) ~ share x (likelihood of all answers open to it) ** WORDING; P(answer | vehicle) is the answer's
    likelihood among those open to it. The wording is weak evidence of the vehicle: two answers for two vehicles are
    often worded alike.
    """
    states = _apart(states, candidates, usual)
    likely = np.array([candidate.probability for candidate in candidates], np.float64)
    opened = np.array([[allows(c.scope, s.values) for c in candidates] for s in states], np.float64)
    table = opened.reshape(len(states), len(candidates)) * likely
    mass = table.sum(axis=1, keepdims=True)
    weight = np.array([[s.share] for s in states]) * mass**WORDING
    weight = weight / (weight.sum() or 1.0)
    answers = weight * np.divide(table, mass, out=np.zeros_like(table), where=mass > 0)
    names, causes = _causes(states, explain)
    return Belief(tuple(states), weight[:, 0], answers, weight * causes, names)


def _apart(states: Sequence[State], candidates: Sequence[Candidate], usual: Mapping[str, Shares]) -> tuple[State, ...]:
    """Take vehicles apart by facts that the catalogue leaves open, such as a changed controller, by usual shares.

    Facts of the battery pack are no question for a vehicle without one.
    """
    for name in dict.fromkeys(name for c in candidates for name in c.scope if name in usual):
        states = [piece for state in states for piece in _pieces(state, name, usual[name], candidates)]
    return tuple(states)


def _pieces(state: State, name: str, usual: Shares, candidates: Sequence[Candidate]) -> list[State]:
    if name in state.values or "pack_voltage" not in state.values:
        return [state]
    shares = _of_model(state.values.get("model"), name, usual, candidates)
    return [State(state.share * share, {**state.values, name: value}) for value, share in shares.items()]


def _of_model(model: FactValue | None, name: str, usual: Shares, candidates: Sequence[Candidate]) -> Shares:
    """Usual shares, moved by what the answers written for this very model are for: a Dirichlet prior and its counts.

    A shop that writes of a model's sealed set has told what is in it. An answer for many models tells less of each.
    """
    counts = dict.fromkeys(usual, 0.0)
    for scope in (candidate.scope for candidate in candidates):
        models, values = scope.get("model", ()), scope.get(name, ())
        if model in models:
            counts |= {str(v): counts[str(v)] + 1 / (len(models) * len(values)) for v in values if str(v) in counts}
    total = USUAL_COUNT + sum(counts.values())
    return {value: (USUAL_COUNT * share + counts[value]) / total for value, share in usual.items()}


def allows(scope: Mapping[str, tuple[FactValue, ...]], values: Mapping[str, FactValue]) -> bool:
    """False when a value lies outside the scope; what is not known is allowed."""
    return all(name not in values or _allowed(name, values[name], allowed) for name, allowed in scope.items())


def _allowed(name: str, value: FactValue, allowed: Sequence[FactValue]) -> bool:
    if name == "year":
        low, high = span_of(value)
        return low <= float(str(allowed[1])) and high >= float(str(allowed[0]))
    return any(same(item, value) for item in allowed)


def _causes(states: Sequence[State], explain: Explain) -> tuple[tuple[str, ...], Floats]:
    found = [explain(state.values) for state in states]
    names = tuple(dict.fromkeys(name for shares in found for name in shares))
    rows = [[shares.get(name, 0.0) for name in names] for shares in found]
    return names, np.array(rows, np.float64).reshape(len(states), len(names))


def channel(belief: Belief, name: str) -> Floats:
    """P(what the asker says | vehicle), (values, states); a vehicle without the fact has an empty column."""
    values = [state.values.get(name) for state in belief.states]
    different = list(dict.fromkeys(_key(value) for value in values if value is not None))
    rows = [[float(value is not None and _key(value) == one) for value in values] for one in different]
    return np.array(rows, np.float64).reshape(len(different), len(values))


def _key(value: FactValue) -> object:
    return float(value) if isinstance(value, int | float) else str(value).casefold()


def gain(belief: Belief, known: Floats, asked: Floats) -> float:
    """Expected gain in the probability of being right when one more thing is told.

    E[sum P(choice | told)^2] - sum P(choice)^2, over what will be known already: `known` and `asked` are channels,
    (values, states). The sum of squares is the chance that a choice drawn by its probability is right (Gini); unlike
    the probability of the best choice it also rises when the best stays the best. Counted for the answer, and in part
    for the cause.
    """
    both = (known[:, None, :] * asked[None, :, :]).reshape(-1, known.shape[1])
    before = known * asked.sum(axis=0)
    return sum(
        part * (_agreement(both, joint) - _agreement(before, joint))
        for part, joint in ((1.0, belief.answers), (CAUSE_WEIGHT, belief.causes))
    )


def cause_gain(belief: Belief, table: Mapping[str, Mapping[str, float]]) -> float:
    """The same for a fact that only the causes bear on; `table` holds P(value | cause), value -> cause -> P."""
    now = belief.causes.sum(axis=0)
    if not now.size:
        return 0.0
    rows = np.array([[column.get(name, column[ANY]) for name in belief.names] for column in table.values()], np.float64)
    return CAUSE_WEIGHT * float((rows * now).max(axis=1).sum() - now.max())


def _agreement(told: Floats, joint: Floats) -> float:
    """E[sum P(choice | told)^2]."""
    found = told @ joint
    mass = found.sum(axis=1, keepdims=True)
    return float(np.divide(found**2, mass, out=np.zeros_like(found), where=mass > 0).sum())

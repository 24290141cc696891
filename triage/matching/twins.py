"""Two entries that say the same must not split the vote: their shares go to the one that fits best."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from triage.matching.encode import Vectors
from triage.matching.fit import value_allowed
from triage.model import FactValue

ALIKE = 0.97  # cosine of two answers as whole texts from which they say the same
Scope = Mapping[str, tuple[FactValue, ...]]


def merged(shares: Sequence[float], vectors: Vectors, scopes: Sequence[Scope]) -> list[float]:
    """Shares with each twin's share given to the better one; a twin left empty has 0. Best first, as the input.

    Only answers for the same vehicles are twins: the same steps written for 36 V and for 48 V are two answers.
    """
    result = list(shares)
    alike = vectors @ vectors.T >= ALIKE
    for second in range(1, len(result)):
        first = next((i for i in range(second) if alike[i, second] and _meet(scopes[i], scopes[second])), None)
        if first is not None and result[first] > 0:
            result[first] += result[second]
            result[second] = 0.0
    return result


def _meet(one: Scope, other: Scope) -> bool:
    """Some vehicle may be in both ranges."""
    return all(_overlap(name, allowed, other[name]) for name, allowed in one.items() if name in other)


def _overlap(name: str, one: tuple[FactValue, ...], other: tuple[FactValue, ...]) -> bool:
    if name == "year":
        return value_allowed("year", f"{one[0]}-{one[1]}", other)
    return any(value_allowed(name, value, other) for value in one)

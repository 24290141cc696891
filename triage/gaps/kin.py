"""Answers worded alike for different vehicles share what the wording says: it tells the trouble, hardly the vehicle."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from triage.gaps.belief import Candidate, Floats
from triage.gaps.vehicles import same
from triage.model import FactValue

KIN = 0.7  # share of its likeness that an answer lends to one worded the same for another vehicle
APART, ALIKE = 0.5, 0.7  # cosine of two answers as whole texts below which they are not kin, and from which they are
LEAST = 0.002  # of the likeliest answer's share: what is less likely is no longer in play

Scope = Mapping[str, tuple[FactValue, ...]]


def in_play(candidates: Sequence[Candidate]) -> tuple[Candidate, ...]:
    """The candidates still in play with their probabilities shared among kin; the sum stays what it was.

    A ranker that hears "the pot is worn" may hold the answer for one vehicle a thousand times likelier than its twin
    for another, though whoever asked knew of no such difference.
    """
    if not candidates:
        return ()
    own = np.array([candidate.probability for candidate in candidates], np.float64)
    lent = (_kinship(candidates) * own).max(axis=1)
    shares = lent * own.sum() / (lent.sum() or 1.0)
    least = LEAST * shares.max()
    pairs = zip(candidates, shares, strict=True)
    return tuple(replace(candidate, probability=float(share)) for candidate, share in pairs if share >= least)


def _kinship(candidates: Sequence[Candidate]) -> Floats:
    """How much each answer (row) has of the likeness of each other; 1 of its own."""
    vectors = np.stack([candidate.vector for candidate in candidates])
    alike = np.clip((vectors @ vectors.T - APART) / (ALIKE - APART), 0.0, 1.0)
    kin = np.array(KIN * alike, np.float64)
    for row, column in zip(*np.nonzero(np.triu(alike, 1)), strict=True):
        if meet(candidates[row].scope, candidates[column].scope):
            kin[row, column] = kin[column, row] = 0.0
    np.fill_diagonal(kin, alike.diagonal() > 0)
    return kin


def meet(one: Scope, other: Scope) -> bool:
    """Some vehicle may be in both ranges."""
    return all(_overlap(name, one[name], other[name]) for name in one.keys() & other.keys())


def _overlap(name: str, one: Sequence[FactValue], other: Sequence[FactValue]) -> bool:
    if name == "year":
        (first, last), (start, end) = one, other
        return float(str(first)) <= float(str(end)) and float(str(last)) >= float(str(start))
    return any(same(a, b) for a in one for b in other)

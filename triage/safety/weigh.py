"""Weigh the signs of each hazard: how like known dangers a piece sounds, phrases of the pack, and conditions on facts.

No sign decides alone. A piece that sounds a little like everything counts less than one that sounds like one hazard; a
long piece that sounds like one counts more, for what it says beside dilutes it.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from triage.safety.fit import Vectors

SHIPPED = Path(__file__).parent / "weights.json"  # fitted by python -m eval.dangers.fit


@dataclass(frozen=True, slots=True)
class Weights:
    """What each sign adds to the log-odds of a hazard, and from which sum it is noted and is pressing."""

    bias: float
    likeness: float  # the score of the piece for the hazard
    lead: float  # how far that is above the best of the other hazards
    loudest: float  # the piece's score for its likeliest hazard
    length: float  # logarithm of the tokens of the piece
    around: float  # mean score of all pieces
    reported: float  # a phrase of the pack that tells it happens
    planned: float  # a phrase that tells the asker is about to do it
    trouble: float  # a condition on facts with a symptom
    work: float  # a condition on facts without one
    noted: float  # from this sum on a note goes into the reply
    pressing: float  # from this sum on a person must look first

    @classmethod
    def load(cls, file: Path = SHIPPED) -> Weights:
        """The shipped weights. Raises TypeError when the file holds other signs."""
        return cls(**json.loads(file.read_text(encoding="utf-8")))


def piece_signs(likeness: Vectors, lengths: Sequence[int]) -> Vectors:
    """Likeness, lead, loudest and length of each piece for each hazard, shape (pieces, hazards, 4)."""
    loudest = likeness.max(axis=1, keepdims=True)
    rest = np.where(likeness == loudest, -np.inf, likeness).max(axis=1, keepdims=True)
    second = np.where(np.isfinite(rest), rest, loudest)
    rival = np.where(likeness == loudest, second, loudest)
    length = np.log(np.asarray(lengths, np.float32))[:, None]
    whole = np.ones_like(likeness)
    result: Vectors = np.stack([likeness, likeness - rival, loudest * whole, length * whole], axis=2)
    return result


def plainness(likeness: Vectors, lengths: Sequence[int], weights: Weights) -> Vectors:
    """Log-odds by each piece alone that each hazard is told, shape (pieces, hazards)."""
    signs = np.array([weights.likeness, weights.lead, weights.loudest, weights.length], np.float32)
    result: Vectors = piece_signs(likeness, lengths) @ signs + weights.around * likeness.mean(axis=0) + weights.bias
    return result

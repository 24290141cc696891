"""Post that no answer of a base is for - orders, complaints, jobs, other machines - told from questions by meaning."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from triage.matching.encode import Vectors
from triage.pack.schema import Aside

RIDGE = 3e-3
CALM_WEIGHT = 0.5  # of sentences that stand beside questions and other post alike
# set on the tuning part of the labelled questions
SURE = 0.1  # score from which a text is such post
NEAR = 0.4  # cosine to the kind's nearest example

Encode = Callable[[Sequence[str]], Vectors]
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class ScopeReader:
    """A linear reading of a text's vector: about -1 for a question of the trade, towards 1 for other post."""

    kinds: tuple[Aside, ...]  # the kind of each example
    examples: Vectors  # (examples, dimension)
    weights: Floats  # (dimension + 1,); the last one is the constant

    @classmethod
    def learn(cls, asides: Iterable[Aside], trade: Sequence[str], calm: Sequence[str], encode: Encode) -> ScopeReader:
        """Weighted ridge regression on the pack's examples against its own symptoms and questions."""
        told = [(kind, text) for kind in asides for text in kind.examples]
        examples, inside, beside = encode([text for _, text in told]), encode(trade), encode(calm)
        groups = ((examples, 1.0, 1.0), (inside, -1.0, 1.0), (beside, 0.0, CALM_WEIGHT))
        rows = np.vstack([group for group, _, _ in groups]).astype(np.float64)
        target = np.concatenate([np.full(len(group), value) for group, value, _ in groups])
        weight = np.concatenate([np.full(len(group), share / max(1, len(group))) for group, _, share in groups])
        padded = np.hstack([rows, np.ones((len(rows), 1))])
        square = padded.T @ (padded * weight[:, None]) + RIDGE * np.eye(padded.shape[1])
        return cls(tuple(kind for kind, _ in told), examples, np.linalg.solve(square, padded.T @ (weight * target)))

    def score(self, text: Vectors) -> float:
        """How much a text, (dimension,), sounds like post no answer is for."""
        return float(text @ self.weights[:-1] + self.weights[-1])

    def recognised(self, text: Vectors) -> Aside | None:
        """The kind of such post a text is, or None where it is not surely any."""
        if not len(self.examples) or self.score(text) < SURE:
            return None
        cosines = self.examples @ text
        best = int(cosines.argmax())
        return self.kinds[best] if cosines[best] >= NEAR else None

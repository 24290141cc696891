"""An encoder that remembers its texts: the same question is read many times in an evaluation."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from triage.matching.encode import Encodes, Vectors
from triage.pipeline import Stages


class Remembering:
    """An encoder with the vectors of all texts it was given so far; the vectors are the same as without."""

    def __init__(self, encoder: Encodes) -> None:
        self.tag, self.dimension = encoder.tag, encoder.dimension
        self._encoder = encoder
        self._known: dict[str, Vectors] = {}

    def encode(self, texts: Sequence[str]) -> Vectors:
        """Unit vectors, (texts, dimension)."""
        missing = [text for text in dict.fromkeys(texts) if text not in self._known]
        if missing:
            self._known |= dict(zip(missing, self._encoder.encode(missing), strict=True))
        return np.stack([self._known[text] for text in texts]) if texts else np.zeros((0, self.dimension), np.float32)


def remembering(stages: Stages) -> Stages:
    """The same stages, which encode no text twice."""
    return replace(stages, encoder=Remembering(stages.encoder))

"""Passages near a question in a base too large to compare one by one: a graph of neighbours (usearch)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from triage.matching.encode import Vectors

LARGE = 20_000  # passages; below, all are compared, which is exact and as fast
Integers = NDArray[np.int64]


class Nearest:
    """Approximate nearest passages by cosine; rows are numbered as in the vectors it was built over."""

    def __init__(self, graph: Any) -> None:
        self._graph = graph

    @classmethod
    def over(cls, vectors: Vectors) -> Nearest | None:
        """A graph over the rows, (rows, dimension); None for a base that needs none."""
        if len(vectors) < LARGE:
            return None
        from usearch.index import Index

        graph = Index(ndim=vectors.shape[1], metric="cos", dtype="f16", expansion_add=64)
        graph.add(np.arange(len(vectors)), vectors, threads=0)
        return cls(graph)

    @classmethod
    def opened(cls, file: Path) -> Nearest:
        """The graph an earlier run saved, mapped into memory, not read. Raises when the file is none."""
        from usearch.index import Index

        return cls(Index.restore(str(file), view=True))

    def save(self, file: Path) -> None:
        """Write the graph for `opened`."""
        self._graph.save(str(file))

    def rows(self, vector: Vectors, count: int) -> Integers:
        """At most `count` rows near a vector, nearest first."""
        return np.asarray(self._graph.search(vector, count).keys, np.int64)

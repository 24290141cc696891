"""How long ranking takes over a large base: python tests/matching/bench_scale.py [ANSWERS]

Texts are drawn from an invented vocabulary and vectors at random, so that only speed means anything here.
"""

from __future__ import annotations

import random
import sys
import tempfile
from pathlib import Path
from time import perf_counter

import numpy as np

from triage.kept import KeptIndexes
from triage.matching.features import Ask
from triage.matching.index import Told, build_index
from triage.matching.rank import Ranker, rank
from triage.pack.schema import Answer, AppliesTo

QUESTIONS = 50


class Drawn:
    """Unit vectors at random, the same for the same text."""

    tag, dimension = "drawn/bench", 384

    def encode(self, texts):
        rows = np.random.default_rng(len(texts)).standard_normal((len(texts), self.dimension), dtype=np.float32)
        return rows / np.linalg.norm(rows, axis=1, keepdims=True)


def base(count: int, words: list[str], draw: random.Random) -> list[Answer]:
    """Answers of two paragraphs; common words are common, as in any language."""
    weights = [1 / (rank + 5) for rank in range(len(words))]

    def text(size: int) -> str:
        return " ".join(draw.choices(words, weights, k=size))

    return [
        Answer(id=f"a{n}", title=text(5), question=text(9), text=f"{text(40)}\n\n{text(40)}", applies_to=AppliesTo())
        for n in range(count)
    ]


def main() -> None:
    """Build, then ask; prints seconds and milliseconds."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    draw = random.Random(0)
    words = [f"w{number}" for number in range(20_000)]
    answers = base(count, words, draw)
    told = [Told(frozenset(), frozenset(), frozenset(), (a.title, a.question)) for a in answers]
    start = perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        index = build_index(answers, [], Drawn(), told, KeptIndexes(Path(folder), "bench"))
        print(f"built over {count} answers, {len(index.vectors)} passages: {perf_counter() - start:.1f} s")
        start = perf_counter()
        index = build_index(answers, [], Drawn(), told, KeptIndexes(Path(folder), "bench"))
        print(f"opened again: {perf_counter() - start:.1f} s (the vectors are drawn again, not read)")
        took = [_asked(index, draw, words) for _ in range(QUESTIONS)]
    print(f"ranked in {np.median(took):.1f} ms (median), {np.percentile(took, 95):.1f} ms (95th percentile)")


def _asked(index, draw: random.Random, words: list[str]) -> float:
    vectors = np.random.default_rng(draw.getrandbits(32)).standard_normal((6, 384)).astype(np.float32)
    vectors /= np.linalg.norm(vectors, axis=1, keepdims=True)
    told = tuple(draw.choices(words, [1 / (rank + 5) for rank in range(len(words))], k=30))
    start = perf_counter()
    rank(index, Ask(vectors[0], vectors[1:], told, {}, {}, frozenset(), "", text=" ".join(told)), Ranker.load())
    return (perf_counter() - start) * 1000


if __name__ == "__main__":
    main()

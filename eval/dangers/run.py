"""Score the reading of dangers on the stories and on the questions that may be tuned on.

    python -m eval.dangers.run [--test]

The part to test on is scored only when asked for, and its mistakes are never shown.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from eval.dangers.read import stages_and_vectors, understood
from eval.dangers.score import HEAD, Scored, score
from eval.dangers.stories import Story, questions, stories

WEAKEST = 10


def main(arguments: Sequence[str] | None = None) -> int:
    """The command; returns its exit code."""
    parser = argparse.ArgumentParser(prog="python -m eval.dangers.run", description=__doc__.split("\n")[0])
    parser.add_argument("--test", action="store_true", help="score the part kept for testing as well")
    options = parser.parse_args(arguments)
    sets: dict[str, tuple[Story, ...]] = {"stories, learnt from": stories("learn"), "questions, tuning": questions()}
    if options.test:
        sets["stories, test"] = stories("test")
    stages, vectors = stages_and_vectors()
    scored = {name: score(told, [read.dangers for read in understood(told, stages)]) for name, told in sets.items()}
    vectors.save()
    print(HEAD)
    for name, item in scored.items():
        print(item.row(name))
    for name, item in scored.items():
        print(f"\n{name}, weakest:", ", ".join(_weakest(item)))
    return 0


def _weakest(scored: Scored) -> list[str]:
    told = {name: counts for name, counts in scored.by_hazard.items() if counts.recall is not None}
    ranked = sorted(told, key=lambda name: told[name].recall or 0.0)
    return [f"{name} {told[name].recall:.2f}" for name in ranked[:WEAKEST]]


if __name__ == "__main__":
    sys.exit(main())

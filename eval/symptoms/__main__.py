"""Say how often symptoms are read in the labelled sentences.

python -m eval.symptoms
"""

from __future__ import annotations

from eval.counts import Counts
from eval.metrics_symptoms_told import load_told, total
from eval.shops import KNOWLEDGE
from triage.engine import open_engine


def line(name: str, counts: Counts) -> str:
    """One row of figures; a dash where there is nothing to tell."""
    shares = (counts.precision, counts.recall, counts.f1)
    shown = ("-" if share is None else f"{share:.3f}" for share in shares)
    return f"{name:24} precision {next(shown)}  recall {next(shown)}  F1 {next(shown)}"


def main() -> None:
    """The command."""
    told, stages = load_told(), open_engine(KNOWLEDGE)
    telling = [sentence for sentence in told if sentence.symptoms]
    silent = [sentence for sentence in told if not sentence.symptoms]
    print(line(f"{len(told)} sentences", total(told, stages)))
    print(line(f"{len(telling)} that tell some", total(telling, stages)))
    print(f"{len(silent)} that tell none: {total(silent, stages).false} symptoms made up")


if __name__ == "__main__":
    main()

"""Messages of growing length: python -m eval.benchmark.lengths FOLDER. Prints JSON."""

from __future__ import annotations

import json
import statistics
import sys
import time
from dataclasses import replace
from pathlib import Path

from eval.benchmark.material import Noting
from eval.benchmark.material_files import read_questions
from triage.engine import open_engine
from triage.model import Question
from triage.pipeline import Stages, read

CHARACTERS = (50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 100_000)
TEXTS = 5
SLOW = 5000  # characters from which one text is enough


def main(folder: Path) -> None:
    """Read texts of each length, and encode alone what was encoded."""
    stages, whole = open_engine(folder / "pack", cache=folder / "cache"), " ".join(read_questions(folder))
    read(Question("warm", whole[:500]), stages)
    print(json.dumps([_measured(length, whole, stages) for length in CHARACTERS]))


def _measured(length: int, whole: str, stages: Stages) -> dict[str, float]:
    """Median milliseconds of the processor for reading and for the encoder's share, over a few texts of that length."""
    long = whole * (1 + length // len(whole))
    count = 1 if length > SLOW else TEXTS
    step = max(1, (len(long) - length) // count)
    readings, encodings, pieces = list[float](), list[float](), list[float]()
    for number in range(count):
        noting = Noting(stages.encoder)
        question = Question("q", long[number * step : number * step + length])
        begin = time.process_time()
        read(question, replace(stages, encoder=noting))
        middle = time.process_time()
        stages.encoder.encode(noting.texts)
        readings.append(1000 * (middle - begin))
        encodings.append(1000 * (time.process_time() - middle))
        pieces.append(len(noting.texts))
    measured: dict[str, list[float]] = {"ms": readings, "encoder_ms": encodings, "pieces": pieces}
    return {"characters": length, **{name: statistics.median(values) for name, values in measured.items()}}


if __name__ == "__main__":
    main(Path(sys.argv[1]))

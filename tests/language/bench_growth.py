"""How long a text takes to read as it grows: `python tests/language/bench_growth.py [PACK]`. A script, not a test.

For texts of several kinds and doubling lengths it prints milliseconds, and the exponent of the power law that fits
them best (1.0 is growth in proportion to length; a text is read up to MAX_TOKENS tokens, so that the longest may take
no more than the last but one). First, the median over usual questions, and the memory that a long run of fresh
questions adds.
"""

from __future__ import annotations

import math
import random
import resource
import statistics
import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

from triage.facts import FactReader
from triage.pack import load

LENGTHS = (6_250, 12_500, 25_000, 50_000, 100_000, 200_000)  # characters
USUAL = (
    "36volt cart wont move just clicks",
    "I put a new solenoid in it and it still reads 38.2 at rest and 31 when I floor it. Batteries are 3 years old.",
    "Can I go to 48 on my 2009 with six 6 volt batteries? The neighbour's is 48 and does 19 mph, mine used to do 14.",
)
SEED = 7


def kinds() -> dict[str, Callable[[int], str]]:
    """Texts of about so many characters."""
    dice = random.Random(SEED)
    sentence = " ".join(USUAL) + " "
    return {
        "usual sentences": lambda n: (sentence * (n // len(sentence) + 1))[:n],
        "one sentence, no marks": lambda n: ("my 48 volt cart wont go and the charger hums " * n)[:n],
        "numbers": lambda n: " ".join(f"{dice.uniform(5, 60):.1f}" for _ in range(n // 5)),
        "numbers with units": lambda n: " ".join(f"{dice.randint(5, 60)} volts" for _ in range(n // 9)),
        "cues": lambda n: ("not maybe sorry my neighbour had a new used to want to no i think " * n)[:n],
        "parts": lambda n: ("battery solenoid tyre controller replaced charger " * n)[:n],
        "unknown words": lambda n: " ".join("".join(dice.choices("bdfgklmnprstaeiou", k=8)) for _ in range(n // 9)),
        "two vehicles": lambda n: ("the other cart is a 2009 lark and my own ridge is fine mine ridge lark 36 " * n)[
            :n
        ],
        "work": lambda n: ("put a new cleaned and tightened they were put in new new battery " * n)[:n],
        "corrections": lambda n: ("six batteries no wait eight sorry 48 not 36 volts no hang on 12 mph " * n)[:n],
        "years": lambda n: ("2009 or 2010 the late 90s '08 " * n)[:n],
        "emoji and controls": lambda n: ("🔋🔌\u200d\x00\x07 36v " * n)[:n],
        "right to left": lambda n: ("העגלה לא נוסעת 48 وולט بطارية ٣٦ " * n)[:n],
        "one long word": lambda n: "a" * n,
        "blank lines": lambda n: "\n \t" * (n // 3) + "36 volt",
    }


def seconds(reader: FactReader, text: str) -> float:
    """Best of two readings."""
    times = []
    for _ in range(2):
        start = perf_counter()
        reader.read(reader.language.annotate(text))
        times.append(perf_counter() - start)
    return min(times)


def exponent(lengths: list[int], times: list[float]) -> float:
    """Slope of log(time) over log(length), by least squares."""
    xs, ys = [math.log(n) for n in lengths], [math.log(t) for t in times]
    mean_x, mean_y = statistics.fmean(xs), statistics.fmean(ys)
    over = sum((x - mean_x) * (y - mean_y) for x, y in zip(xs, ys, strict=True))
    return over / sum((x - mean_x) ** 2 for x in xs)


def usual_ms(reader: FactReader, rounds: int = 300) -> float:
    """Median milliseconds of a usual question, warm."""
    times = []
    for number in range(rounds):
        start = perf_counter()
        reader.read(reader.language.annotate(USUAL[number % len(USUAL)]))
        times.append((perf_counter() - start) * 1000)
    return statistics.median(times[len(USUAL) :])


def memory_growth_mb(reader: FactReader, questions: int) -> float:
    """Peak memory added by the second half of a run of questions that all differ."""
    dice, peaks = random.Random(SEED), []
    for half in range(2):
        for _ in range(questions // 2):
            word = "".join(dice.choices("bdfgklmnprstaeiou", k=9))
            reader.read(reader.language.annotate(f"{word} {dice.randint(1, 99)} volt wont go {half}"))
        peaks.append(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
    return peaks[1] - peaks[0]


def main(pack: str = "knowledge", questions: str = "100000") -> None:
    """Print the table."""
    reader = FactReader(load(Path(pack)))
    print(f"usual question: {usual_ms(reader):.2f} ms median")
    # before the long texts, whose peak would hide it
    print(f"memory: {memory_growth_mb(reader, int(questions)):+.1f} MB in the second half of {questions} questions")
    for name, make in kinds().items():
        texts = [make(length) for length in LENGTHS]
        times = [seconds(reader, text) for text in texts]
        slope = exponent([len(text) for text in texts], times)
        print(f"{name:24} exponent {slope:4.2f}  " + "  ".join(f"{t * 1000:8.1f}" for t in times) + "  ms")


if __name__ == "__main__":
    main(*sys.argv[1:])

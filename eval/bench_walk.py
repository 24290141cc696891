"""A day's start at the workbench, by keyboard alone: keystrokes and seconds a question. python -m eval.bench_walk

The seconds are the program's: every page asked for, shown and answered, with no time to read or think in between.
"""

from __future__ import annotations

import statistics
import tempfile
from pathlib import Path
from time import perf_counter
from typing import Any

from eval.bench_demo import chromium, demo_office, served

QUESTIONS = 20
CORRECTED = 5  # every so many questions a sentence of the reply is written anew


def main() -> None:
    """Clear QUESTIONS of the demo queue and print what it took."""
    with tempfile.TemporaryDirectory() as folder:
        office = demo_office(Path(folder))
        with served(office) as url, chromium() as browser:
            walked = walk(browser.new_page(), url)
        with office.store() as store:
            replied = sum(bool(thread.replies) for thread in store.each_thread())
    keys, seconds = [keys for keys, _ in walked], [took for _, took in walked]
    print(f"{replied} of {QUESTIONS} questions replied to by keyboard")
    print(f"keystrokes a question: median {statistics.median(keys):.0f}, most {max(keys)}")
    print(f"seconds a question, program only: median {statistics.median(seconds):.2f}, most {max(seconds):.2f}")


def walk(page: Any, url: str) -> list[tuple[int, float]]:
    """(keystrokes, seconds) of each question."""
    page.goto(url)
    page.keyboard.press("j")
    page.keyboard.press("Enter")
    page.wait_for_selector("#letter")
    return [clear(page, corrects=number % CORRECTED == 0) for number in range(QUESTIONS)]


def clear(page: Any, *, corrects: bool) -> tuple[int, float]:
    """One question: where it is corrected, a greeting is written anew; then it is recorded as gone out."""
    begin, pressed = perf_counter(), 0
    here = page.locator("#card").get_attribute("data-thread")
    keys = ["e", "End", *" Thank you for writing.", "Escape"] if corrects else []
    for key in (*keys, "o", "Enter"):
        page.keyboard.press(key if key != " " else "Space")
        pressed += 1
    page.wait_for_function("was => document.querySelector('#card')?.dataset.thread !== was", arg=here)
    page.wait_for_selector("#letter")
    return pressed, perf_counter() - begin


if __name__ == "__main__":
    main()

"""The benchmark: plain ways find what is plain, made bases are always the same, and what fails says so."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
from evalcases import gold

from eval.benchmark.__main__ import judged, rounded, warm
from eval.benchmark.fitting import exponent
from eval.benchmark.material_files import Entry
from eval.benchmark.pool import Known, Pool, entries
from eval.benchmark.running import run
from eval.benchmark.stored import messages
from eval.benchmark.ways import PLAIN, best
from triage.matching.encode import Vectors
from triage.matching.index import Told
from triage.pack.schema import Answer

ENTRIES = [
    Entry("hum", "Charger hums", "The charger hums and the needle drops: look at the relay and the diodes."),
    Entry("squeal", "Belt squeals", "The drive belt squeals on the start: look at its tension and at the clutch."),
    Entry("brake", "Long pedal", "The brake pedal is long: adjust the shoes and look at the cable."),
]


@pytest.mark.parametrize("way", ["TF-IDF", "SQLite FTS5", "bm25s"])
@pytest.mark.parametrize(("question", "first"), [("my belt squeals, why?", 1), ("brake pedal feels long", 2)])
def test_a_plain_way_finds_what_shares_its_words(way: str, question: str, first: int, tmp_path: Path) -> None:
    numbers, score = PLAIN[way](ENTRIES, tmp_path)(question)
    assert numbers[0] == first and score > 0


@pytest.mark.parametrize("way", ["TF-IDF", "SQLite FTS5", "bm25s"])
@pytest.mark.parametrize("question", ["", "?!", '"NEAR( OR -', "zzz"])
def test_a_plain_way_stands_any_question(way: str, question: str, tmp_path: Path) -> None:
    assert PLAIN[way](ENTRIES, tmp_path)(question)[1] == 0.0


@pytest.mark.parametrize("count", [5, 5000])
def test_the_best_are_the_highest_and_ties_go_by_place(count: int) -> None:
    scores = np.zeros(count)
    scores[[4, 2]] = 1.0
    assert best(scores)[0][:2] == [2, 4]


@pytest.mark.parametrize(("power", "times"), [(0.0, [3, 3, 3]), (0.5, [1, 10, 100]), (1.0, [5, 500, 50_000])])
def test_the_exponent_of_a_power_law_is_found(power: float, times: list[float]) -> None:
    assert exponent([1, 100, 10_000], times) == pytest.approx(power)
    assert exponent([7], [1]) is None


def test_ranked_answers_are_judged_by_the_labels() -> None:
    labels = [gold(answer="a"), gold(answer="b", also_ok=["c"]), gold(answer=None)]
    ranked = [(["a", "b", "c"], 0.9), (["a", "c", "b"], 0.8), (["a"], 0.1)]
    assert judged(ranked, labels) == {"first": 0.5, "three": 1.0, "none": 1.0}


def test_times_are_summed_up_and_rounded() -> None:
    assert rounded({"a": warm([1.0, 2.00049, 3.0]), "b": (1, "x")}) == {
        "a": {"warm_ms": 2.0, "slow_ms": 2.0},
        "b": [1, "x"],
    }


def test_made_messages_are_threads_of_three() -> None:
    made = list(messages(7, ["My cart hums."]))
    assert made == list(messages(7, ["My cart hums."]))
    assert [message.in_reply_to for message in made[:4]] == [(), ("0.0@mail.example",), ("0.1@mail.example",), ()]
    assert [message.sent for message in made] == sorted(message.sent for message in made if message.sent)


def test_what_fails_or_takes_too_long_is_said() -> None:
    assert "No module named" in run("eval.benchmark.no_such", [])["not_done"]
    assert run("timeit", ["-n", "1", "-r", "1", "import time; time.sleep(9)"], seconds=0.5) == {
        "not_done": "not done in 0 s"
    }


class Letters:
    """A toy encoder: how often each letter stands in a text."""

    tag, dimension = "letters/toy", 26

    def encode(self, texts: Sequence[str]) -> Vectors:
        rows = np.array([[text.lower().count(chr(97 + n)) for n in range(26)] for text in texts], np.float32)
        return rows / np.linalg.norm(rows, axis=1, keepdims=True)


PARTS = ("relay", "belt", "cable")
POOL = Pool(
    tuple(Answer(part, part, f"Why does the {part} hum?", text=f"Look at the {part}. Turn it.") for part in PARTS),
    tuple(Told(frozenset(), frozenset(), frozenset(), (f"{part}. Why?", "Why?")) for part in PARTS),
    ("Look at the relay.", "Turn it.", "Look at the belt."),
)


def test_made_answers_begin_with_the_shops_own_and_are_always_the_same() -> None:
    made = list(POOL.made(50))
    assert made == list(POOL.made(50)) and [one for one, _ in made[:3]] == list(POOL.answers)
    assert len({one.id for one, _ in made}) == 50 and len(entries(POOL.made(50))) == 50


def test_made_texts_have_unit_vectors_and_known_ones_their_own() -> None:
    encoder = Letters()
    rows = Known(encoder, POOL).encode(["Turn it.", "no such text", POOL.answers[0].title])
    assert np.linalg.norm(rows, axis=1) == pytest.approx(1.0, abs=1e-6)
    assert (rows[0] == encoder.encode(["Turn it."])[0]).all()

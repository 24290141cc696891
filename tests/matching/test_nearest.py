"""A large base: the graph finds what a full comparison finds, and ranking over candidates keeps the best."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from toys import Words, answer

from triage.kept import KeptIndexes
from triage.matching import nearest
from triage.matching.features import FEATURES, Ask, features, hear
from triage.matching.index import AnswerIndex, Told, build_index
from triage.matching.nearest import Nearest
from triage.matching.rank import Ranker, rank
from triage.model import Fact, Standing

ENCODER = Words(dimension=256)
ANSWERS = [
    answer(f"a{n}", f"trouble{n} number{n}", text=f"Do step{n} and then look at part{n} again.") for n in range(60)
]
RANKER = Ranker(tuple(float(name in ("whole", "full", "words")) for name in FEATURES), none=0.5)


@pytest.fixture
def large(monkeypatch: pytest.MonkeyPatch) -> None:
    """Any base counts as large."""
    monkeypatch.setattr(nearest, "LARGE", 1)
    monkeypatch.setattr("triage.kept.LARGE", 1)
    monkeypatch.setattr("triage.matching.index.NEAREST", 12)


def index_of(**more) -> AnswerIndex:
    told = [Told(frozenset(), frozenset(), frozenset(), (item.question,)) for item in ANSWERS]
    return build_index(ANSWERS, [], ENCODER, told, **more)


def ask(number: int) -> Ask:
    words = (f"trouble{number}", f"step{number}")
    vector = ENCODER.encode([" ".join(words)])
    return Ask(vector[0], vector, words, {}, {}, frozenset(), "")


def test_a_small_base_needs_no_graph():
    assert index_of().nearest is None


def test_the_graph_finds_the_rows_a_full_comparison_finds():
    rows = np.random.default_rng(0).standard_normal((3000, 64)).astype(np.float32)
    rows /= np.linalg.norm(rows, axis=1, keepdims=True)
    graph = Nearest.over(np.tile(rows, (7, 1))[: nearest.LARGE])
    assert graph is not None
    first = [int(graph.rows(row, 10)[0]) % 3000 for row in rows[:50]]
    assert np.mean(np.array(first) == np.arange(50)) >= 0.95  # it is an approximate index


@pytest.mark.usefixtures("large")
def test_only_candidates_are_looked_at_and_the_best_is_among_them():
    index = index_of()
    for number in (0, 17, 59):
        seen = features(index, ask(number))
        assert len(seen.numbers) < len(ANSWERS) and number in seen.numbers
        assert rank(index, ask(number), RANKER)[0][0].answer == f"a{number}"


@pytest.mark.usefixtures("large")
def test_features_of_candidates_are_those_of_the_whole_base():
    index = index_of()
    some, every = features(index, ask(17)), features(replace(index, nearest=None), ask(17))
    assert some.matrix == pytest.approx(every.matrix[some.numbers])


@pytest.mark.usefixtures("large")
def test_kept_indexes_are_used_again_and_say_the_same(tmp_path):
    first = index_of(indexes=KeptIndexes(tmp_path, "x"))
    files = {file.name: file.stat().st_mtime_ns for file in tmp_path.iterdir()}
    again = index_of(indexes=KeptIndexes(tmp_path, "x"))
    assert {file.name: file.stat().st_mtime_ns for file in tmp_path.iterdir()} == files and len(files) == 2
    assert rank(first, ask(3), RANKER) == rank(again, ask(3), RANKER)


def test_a_small_base_keeps_nothing_on_disk(tmp_path):
    index_of(indexes=KeptIndexes(tmp_path, "x"))
    assert not list(tmp_path.iterdir())


def test_a_base_of_middling_size_needs_no_graph_to_look_at_candidates_only(monkeypatch: pytest.MonkeyPatch):
    every = features(index_of(), ask(17))
    monkeypatch.setattr("triage.matching.index.SMALL", 40)
    monkeypatch.setattr("triage.matching.index.NEAREST", 12)
    index = index_of()
    some = features(index, ask(17))
    assert index.nearest is None and len(some.numbers) < len(ANSWERS) == len(every.numbers)
    assert rank(index, ask(17), RANKER)[0][0].answer == "a17"
    assert some.matrix == pytest.approx(every.matrix[some.numbers])


def test_what_was_heard_of_a_question_serves_again_with_other_facts():
    index = index_of()
    known = replace(ask(17), facts={"powertrain": Fact("powertrain", "petrol", standing=Standing.STATED)})
    assert rank(index, known, RANKER, hear(index, ask(17))) == rank(index, known, RANKER)

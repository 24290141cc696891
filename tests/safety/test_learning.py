"""The machine behind the hazard reading: words as features, exact learning, weighing, and what is shipped."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.pipeline import Stages
from triage.safety.fit import Lesson, learn, lessons
from triage.safety.keep import SHIPPED, lessons_of, weights_name
from triage.safety.weigh import Weights, piece_signs, plainness
from triage.safety.wordbag import WordBag

AXES = np.eye(4, dtype=np.float32)  # an encoder of four meanings
TOLD = [
    Lesson("the belt took my glove", frozenset({"belt"})),
    Lesson("the post spat sparks", frozenset({"spark"})),
    Lesson("what does a mirror cost", frozenset()),
    Lesson("where do I find the plate", frozenset()),
]


def test_a_bag_knows_words_held_by_two_pieces_and_pairs_held_by_five() -> None:
    pieces = [["hot", "cable"]] * 5 + [["cold", "morning"]]
    assert set(WordBag.learn(pieces, 10).words) == {"hot", "cable", "hot cable"}


@given(st.lists(st.lists(st.sampled_from(["hot", "cable", "belt", "new"]), max_size=6), min_size=1, max_size=12))
def test_rows_of_a_bag_are_unit_rows_or_zero(pieces: list[list[str]]) -> None:
    lengths = np.linalg.norm(WordBag.learn(pieces, 10).rows(pieces), axis=1)
    assert all(abs(length) < 1e-5 or abs(length - 1) < 1e-5 for length in lengths)


def test_each_lesson_sounds_most_like_its_own_hazard() -> None:
    learnt = learn(TOLD, AXES)
    scores = learnt.scores(AXES, [lesson.stems for lesson in TOLD])
    assert learnt.hazards == ("belt", "spark")
    assert [int(row.argmax()) for row in scores[:2]] == [0, 1]
    assert scores[2:].max() < scores[:2].max(axis=1).min()


def test_learning_twice_gives_the_same_numbers() -> None:
    assert np.array_equal(learn(TOLD, AXES).weights, learn(TOLD, AXES).weights)


def test_a_sentence_under_two_hazards_is_one_lesson_and_danger_wins_over_harmless(stages: Stages) -> None:
    found = lessons_of(stages.pack)
    assert len({lesson.text for lesson in found}) == len(found)
    hazard = next(iter(stages.pack.hazards.values()))
    (lesson,) = [item for item in lessons({hazard.id: hazard}, hazard.examples[:1]) if item.text == hazard.examples[0]]
    assert lesson.hazards == {hazard.id}


def test_what_is_shipped_was_learnt_from_what_is_shipped(stages: Stages) -> None:
    """Else every fresh machine would learn for a minute first; python -m eval.dangers.ship mends it."""
    assert [file.name for file in SHIPPED.glob("*.npz")] == [weights_name(stages.pack, stages.encoder.tag)]


@pytest.mark.parametrize(
    ("likeness", "lengths", "plainer"),
    [
        pytest.param([[0.5, -1.0], [0.1, -1.0]], [8, 8], 0, id="liker"),
        pytest.param([[0.2, -1.0], [0.2, -1.0]], [4, 16], 1, id="as-like-though-diluted"),
    ],
)
def test_the_plainer_piece(likeness: list[list[float]], lengths: list[int], plainer: int) -> None:
    odds = plainness(np.array(likeness, np.float32), lengths, Weights.load())
    assert int(odds[:, 0].argmax()) == plainer


def test_lead_is_over_the_best_of_the_others() -> None:
    signs = piece_signs(np.array([[0.5, 0.2, -1.0]], np.float32), [1])
    assert signs[0, :, 1] == pytest.approx([0.3, -0.3, -1.5])


def test_noting_takes_less_than_pressing_and_every_sign_of_the_pack_adds() -> None:
    weights = Weights.load()
    assert weights.noted < weights.pressing
    assert min(weights.likeness, weights.reported, weights.planned, weights.trouble, weights.work) > 0

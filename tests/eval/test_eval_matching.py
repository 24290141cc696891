"""The right answer or none, and how sure the program may be."""

from __future__ import annotations

import numpy as np
import pytest
from evalcases import case, matches

from eval import metrics_matching
from eval.baselines import baselines, ranking
from eval.cases import Case, Ranking
from eval.counts import Share
from triage.model import Decision
from triage.pack.schema import Answer

# Four questions by hand: right first, right third, wrong, and one without an answer.
CASES = [
    case(matches(Decision.ANSWER, a=0.9, b=0.05), id="q1", answer="a"),
    case(matches(b=0.4, c=0.3, a=0.2), id="q2", answer="a"),
    case(matches(Decision.ANSWER, b=0.8, c=0.1), id="q3", answer="a", also_ok=["d"]),
    case(matches(b=0.3), id="q4", answer=None, decision="no_answer"),
]


def test_right_first_and_among_three_are_of_the_questions_with_an_answer() -> None:
    assert metrics_matching.right_within(CASES, 1) == Share(1, 3)
    assert metrics_matching.right_within(CASES, 3) == Share(2, 3)


def test_an_answer_that_is_also_acceptable_is_right() -> None:
    assert metrics_matching.is_right(case(matches(d=0.9), answer="a", also_ok=["d"]))


def test_none_fits_is_told_by_a_weak_best_answer() -> None:
    # best 0.9, 0.4, 0.8 with an answer, 0.3 without: all three pairs in the right order
    assert metrics_matching.none_fits(CASES) == 1.0


def test_confidently_wrong_answers_are_of_those_the_program_gave() -> None:
    own = metrics_matching.answered(CASES)
    assert (own.covered, own.wrong) == (Share(2, 4), Share(1, 2))


@pytest.mark.parametrize(
    ("coverage", "covered", "wrong", "threshold"),
    [(0.25, 1, 0, 0.9), (0.5, 2, 1, 0.8), (0.75, 3, 2, 0.4), (1.0, 4, 3, 0.3)],
)
def test_the_surest_first(coverage: float, covered: int, wrong: int, threshold: float) -> None:
    item = metrics_matching.at_coverage(CASES, coverage)
    assert (item.covered, item.wrong, item.threshold) == (Share(covered, 4), Share(wrong, covered), threshold)


def test_a_decimal_share_of_the_questions_is_not_rounded_up_by_floating_point() -> None:
    many: list[Case] = [case(id=f"q{number}", answer="a") for number in range(100)]
    assert 0.07 * 100 > 7  # the trap
    assert metrics_matching.at_coverage(many, 0.07).covered == Share(7, 100)


def test_ties_go_by_id_whatever_the_order() -> None:
    tied = [case(matches(a=0.5), id="q2", answer="b"), case(matches(a=0.5), id="q1", answer="a")]
    assert metrics_matching.at_coverage(tied, 0.5).wrong == Share(0, 1)
    assert metrics_matching.at_coverage(tied[::-1], 0.5).wrong == Share(0, 1)


def test_that_none_fits_is_a_word_as_well() -> None:
    # surest: q1 0.9 right; q3 0.8 wrong; q4 none 0.7, right; q2 b 0.4, wrong
    words = [metrics_matching.words_at_coverage(CASES, coverage).wrong for coverage in (0.25, 0.5, 0.75, 1.0)]
    assert words == [Share(0, 1), Share(1, 2), Share(1, 3), Share(2, 4)]


@pytest.mark.parametrize(("coverage", "least"), [(0.25, 0.0), (0.5, 0.5), (1.0, 0.75)])
def test_no_confidence_can_be_less_wrong_than_the_wrong_ones_there_are(coverage: float, least: float) -> None:
    assert metrics_matching.least_wrong(CASES, coverage) == least


def test_a_question_without_an_answer_counts_against_the_calibration() -> None:
    (only,) = metrics_matching.bins([case(matches(a=0.95), answer=None)])
    assert (only.count, only.accuracy) == (1, 0.0)


def test_decisions_are_counted_labelled_against_decided() -> None:
    assert metrics_matching.decisions(CASES)[Decision.NO_ANSWER, Decision.ASK] == 1
    assert metrics_matching.decision_share(CASES) == Share(2, 4)


def test_other_rankers_are_scored_in_the_same_way() -> None:
    other = case(matches(b=0.9), answer="a", others={"words": Ranking(("a", "b"), 3.0)})
    assert metrics_matching.right_within([other], 1, "words") == Share(1, 1)
    assert metrics_matching.right_within([other], 1) == Share(0, 1)


def test_a_wrong_answer_given_is_a_serious_mistake() -> None:
    kinds = [mistake.kind for mistake in metrics_matching.mistakes(CASES[2])]
    assert kinds == ["answer", "serious: confidently wrong"]


class OneHot:
    """An encoder of three words with known answers."""

    tag, dimension = "one-hot/test", 3

    def encode(self, texts: list[str]) -> np.ndarray:
        words = ("belt", "battery", "brake")
        return np.array([[float(word in text.lower()) for word in words] for text in texts], np.float32)


ANSWERS = [
    Answer("belt", "Which belt", "Which drive belt fits?", "Measure the old belt across its back."),
    Answer("battery", "Tired battery", "Is the battery worn?", "Read each battery at rest."),
    Answer("brake", "Soft brake", "Why is the brake soft?", "Look at the cable."),
]


@pytest.mark.parametrize("name", ["BM25", "TF-IDF", "sentence vectors"])
@pytest.mark.parametrize("word", ["belt", "battery", "brake"])
def test_each_simple_ranker_finds_the_answer_that_shares_the_word(name: str, word: str) -> None:
    score = baselines(ANSWERS, OneHot())[name]  # type: ignore[arg-type]
    found = ranking(score(f"something about my {word} please"), ANSWERS)
    assert found.answers[0] == word
    assert found.best > 0


@pytest.mark.parametrize("name", ["BM25", "TF-IDF", "sentence vectors"])
def test_a_question_of_unknown_words_scores_nothing_and_goes_by_id(name: str) -> None:
    found = ranking(baselines(ANSWERS, OneHot())[name]("zzz"), ANSWERS)  # type: ignore[arg-type]
    assert (found.answers, found.best) == (("battery", "belt", "brake"), 0.0)

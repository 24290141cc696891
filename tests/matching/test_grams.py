"""Likeness in spelling, held against scikit-learn; and what it is for: slips, inflections, joined words."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sklearn.feature_extraction.text import TfidfVectorizer

from triage.matching.grams import Grams

TEXTS = (
    "The charger hums and the batteries stay flat.",
    "Which tyre fits the three inch lift?",
    "It clicks once, then nothing: the solenoid.",
    "Top the batteries up with water after charging; water, only water.",
)


def grams(*texts: str) -> Grams:
    return Grams(lambda number: texts[number], range(len(texts)))


def test_the_cosines_are_those_of_scikit_learn():
    """scikit-learn 1.9, TfidfVectorizer; the question is of the texts' own words, as it leaves unknown grams out."""
    reference = TfidfVectorizer(analyzer="char_wb", ngram_range=(4, 4), sublinear_tf=True)
    question = "batteries stay flat. then nothing: the tyre clicks once,"
    expected = (reference.fit_transform(TEXTS) @ reference.transform([question]).T).toarray().ravel()
    assert grams(*TEXTS).likeness(question, range(4)) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    ("asked", "number"),
    [
        pytest.param("chargre humms", 0, id="slips"),
        pytest.param("tyres fitted with lifts", 1, id="inflections"),
        pytest.param("the solenoidclicks", 2, id="joined-words"),
    ],
)
def test_words_meet_that_are_not_the_same(asked, number):
    assert grams(*TEXTS).likeness(asked, range(4)).argmax() == number


@given(st.text(max_size=60))
def test_any_text_has_a_likeness_between_nothing_and_all(text):
    found = grams(*TEXTS).likeness(text, range(4))
    assert np.isfinite(found).all() and (found >= 0).all() and (found <= 1 + 1e-9).all()


def test_a_text_is_most_like_itself():
    assert grams(*TEXTS).likeness(TEXTS[1], [1, 0]) == pytest.approx([1.0, 0.0], abs=0.2)


def test_no_answers_no_likeness():
    assert grams().likeness("anything", []).tolist() == []

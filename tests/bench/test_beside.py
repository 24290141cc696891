"""Two people's changes to one letter: each is in, and what both changed is shown twice."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.bench.views.beside import CHOOSE, brought_together, side_by_side
from triage.model import Draft, Sentence


def letter(*texts: str) -> Draft:
    return Draft("Re: it", tuple(Sentence(text, f"answer:{n}", n) for n, text in enumerate(texts)))


def texts(draft: Draft) -> list[str]:
    return [sentence.text for sentence in draft.sentences]


BASE = ("one.", "two.", "three.")


@pytest.mark.parametrize(
    ("mine", "theirs", "together"),
    [
        pytest.param(BASE, BASE, BASE, id="nobody"),
        pytest.param(("ONE.", "two.", "three."), BASE, ("ONE.", "two.", "three."), id="only-mine"),
        pytest.param(BASE, ("one.", "two.", "THREE."), ("one.", "two.", "THREE."), id="only-theirs"),
        pytest.param(("ONE.", "two.", "three."), ("one.", "two.", "THREE."), ("ONE.", "two.", "THREE."), id="apart"),
        pytest.param(
            ("one.", "two.", "three.", "four."), ("ONE.", *BASE[1:]), ("ONE.", *BASE[1:], "four."), id="added"
        ),
        pytest.param(
            ("one.", "three."), ("one.", "two.", "THREE."), ("one.", "two.", "THREE.", "three."), id="touching"
        ),
        pytest.param(("X.", *BASE[1:]), ("one.", "Y.", "three."), ("X.", "Y.", "three."), id="neighbours"),
        pytest.param(("X.", *BASE[1:]), ("X.", *BASE[1:]), ("X.", *BASE[1:]), id="both-the-same"),
        pytest.param(("X.", *BASE[1:]), ("Y.", *BASE[1:]), ("Y.", "X.", "two.", "three."), id="both-differently"),
    ],
)
def test_changes_are_brought_together(mine, theirs, together):
    assert texts(brought_together(letter(*BASE), letter(*mine), letter(*theirs))) == list(together)


def test_what_both_changed_is_marked_to_choose_from():
    both = brought_together(letter(*BASE), letter("X.", "two.", "three."), letter("Y.", "two.", "three."))
    assert [s.text for s in both.sentences if s.source.startswith(CHOOSE)] == ["Y.", "X."]


LETTERS = st.lists(st.sampled_from(["a.", "b.", "c.", "d.", "e."]), max_size=6).map(lambda texts: letter(*texts))


@given(base=LETTERS, mine=LETTERS, theirs=LETTERS)
def test_no_new_word_of_either_is_lost(base, mine, theirs):
    together = set(texts(brought_together(base, mine, theirs)))
    assert (set(texts(mine)) | set(texts(theirs))) - set(texts(base)) <= together


@given(base=LETTERS, one=LETTERS)
def test_who_changed_nothing_changes_nothing(base, one):
    assert texts(brought_together(base, base, one)) == texts(one)
    assert texts(brought_together(base, one, base)) == texts(one)


@given(one=LETTERS, two=LETTERS)
def test_side_by_side_holds_both_whole(one, two):
    rows = side_by_side(one, two)
    assert [t for row in rows for t in row.left.split("\n\n") if t] == texts(one)
    assert [t for row in rows for t in row.right.split("\n\n") if t] == texts(two)

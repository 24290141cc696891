"""Word ranking: SQLite's BM25 against a reference, and no word of an asker is ever an operator."""

from __future__ import annotations

import sqlite3
import warnings

import pytest

from triage.matching.lexical import MOST_ROWS, LexicalIndex

CORPUS = (
    "the charger hums but does not charge the pack",
    "the cart clicks and will not move",
    "solenoid clicks once then nothing, check the solenoid posts and the solenoid coil",
    "charger stays silent, measure the pack and the charger fuse",
    "tyres rub on the body when the cart turns",
    "brakes drag and the drum gets hot on long runs down a hill with a heavy trailer behind",
    "lights dim when the pack is low",
    "water the batteries after a charge and never before a charge",
)
QUERIES = (
    ["charger", "hums"],
    ["solenoid", "clicks"],
    ["pack", "charge"],
    ["cart", "brakes", "hill"],
    ["charger", "fuse", "pack", "silent"],
    ["batteries", "water"],
)


def ours(words: list[str]) -> list[float]:
    """Scores with each text in one field only, so that the weights of the fields do not matter."""
    return LexicalIndex(("", "", text) for text in CORPUS).scores(words, len(CORPUS))


def reference(words: list[str]) -> list[float]:
    """bm25s with the k1 = 1.2 and b = 0.75 of SQLite's documentation (fts5.html, "The bm25() function").

    Known difference: both weigh a word by log((N - n + 0.5) / (n + 0.5)), which is negative for a word in more than
    half of the texts; there FTS5 takes 1e-6 and bm25s' "robertson" takes 0. FTS5 also multiplies every score by
    k1 + 1. Neither changes the order as long as no query hangs on such a common word alone.
    """
    bm25s = pytest.importorskip("bm25s", reason="bm25s belongs to the test extra: pip install 'cart-triage[test]'")
    import sqlite3

    split = sqlite3.connect(":memory:")
    split.execute("create virtual table t using fts5(x, tokenize='porter unicode61')")
    split.execute("create virtual table v using fts5vocab(t, instance)")
    split.executemany("insert into t values (?)", [*((text,) for text in CORPUS), (" ".join(words),)])
    terms: dict[int, list[str]] = {}
    for term, doc in split.execute("select term, doc from v order by doc, offset"):
        terms.setdefault(doc, []).append(term)
    documents = [terms[number] for number in range(1, len(CORPUS) + 1)]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        index = bm25s.BM25(k1=1.2, b=0.75, method="robertson")
        index.index(documents, show_progress=False)
        return list(index.get_scores(terms[len(CORPUS) + 1]))


def order(scores: list[float]) -> list[int]:
    return sorted((i for i, score in enumerate(scores) if score > 0), key=lambda i: -scores[i])


@pytest.mark.parametrize("words", QUERIES, ids=" ".join)
def test_ranks_as_the_reference_does(words):
    assert order(ours(words)) == order(reference(words))


@pytest.mark.parametrize(
    "words",
    [
        pytest.param(['"charger"'], id="quotes"),
        pytest.param(["charger-pack"], id="hyphen"),
        pytest.param(["text:charger"], id="column"),
        pytest.param(["charg*"], id="prefix"),
        pytest.param(["^the", "(", ")", "+", "{", "';--"], id="marks"),
        pytest.param([], id="nothing"),
        pytest.param([""], id="empty-word"),
    ],
)
def test_marks_never_reach_the_query(words):
    assert ours(words) == [0.0] * len(CORPUS)


@pytest.mark.parametrize("operator", ["AND", "OR", "NOT", "NEAR"])
def test_an_operator_in_an_askers_words_is_a_word(operator):
    assert ours([operator]) == ours([operator.lower()])
    assert ours(["charger", operator]) == ours(["charger", operator.lower()])


def test_a_repeated_word_counts_once():
    assert ours(["charger", "charger"]) == ours(["charger"])


def test_a_word_in_the_title_counts_more_than_one_in_the_text():
    index = LexicalIndex([("", "", "solenoid"), ("solenoid", "", ""), ("", "solenoid", ""), ("", "", "other")] * 2)
    text, title, question, other = index.scores(["solenoid"], 8)[:4]
    assert title > question > text > other == 0.0


def test_other_forms_of_a_word_meet():
    assert order(ours(["clicking"])) == order(ours(["clicks"])) != []


def test_no_answers_no_scores():
    assert LexicalIndex([]).scores(["charger"], 0) == []


def test_of_a_large_base_only_the_rarest_words_are_looked_up():
    index = LexicalIndex(("", "", f"cart w{number}") for number in range(MOST_ROWS + 1))
    assert sum(score > 0 for score in index.scores(["cart", "w7"], index.size)) == 1


def test_an_index_in_a_file_scores_as_one_in_memory(tmp_path):
    rows = [("", "", text) for text in CORPUS]
    LexicalIndex(rows, tmp_path / "words.db").close()
    opened = LexicalIndex.opened(tmp_path / "words.db")
    assert opened.scores(["charger", "hums"], len(CORPUS)) == ours(["charger", "hums"])
    opened.close()


def test_a_file_that_holds_no_index_is_refused(tmp_path):
    with pytest.raises(sqlite3.Error):
        LexicalIndex.opened(tmp_path / "not-there.db")

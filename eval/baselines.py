"""Simple rankers for comparison: words by BM25, words by TF-IDF, and plain likeness of sentence vectors."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import bm25s  # type: ignore[import-untyped]
import numpy as np
from numpy.typing import NDArray
from sklearn.feature_extraction.text import TfidfVectorizer

from eval.cases import Ranking
from triage.matching.encode import Encodes
from triage.pack.schema import Answer

Scores = NDArray[np.float64]
Scorer = Callable[[str], Scores]  # a question -> a score per answer

KEPT = 3


def baselines(answers: Sequence[Answer], encoder: Encodes) -> Mapping[str, Scorer]:
    """The rankers by name, ready for questions. They know the answers' texts and nothing of vehicles."""
    texts = [" ".join([answer.title, answer.question, *answer.variants, answer.text]) for answer in answers]
    asked = [f"{answer.title}. {answer.question}" for answer in answers]
    return {"BM25": _bm25(texts), "TF-IDF": _tfidf(texts), "sentence vectors": _vectors(asked, encoder)}


def _bm25(texts: Sequence[str]) -> Scorer:
    index = bm25s.BM25()
    index.index(_words(texts), show_progress=False)

    def score(question: str) -> Scores:
        known = [word for word in _words([question])[0] if word in index.vocab_dict]
        return np.asarray(index.get_scores(known), np.float64) if known else np.zeros(len(texts))

    return score


def _words(texts: Sequence[str]) -> list[list[str]]:
    words: list[list[str]] = bm25s.tokenize(list(texts), stopwords="en", return_ids=False, show_progress=False)
    return words


def _tfidf(texts: Sequence[str]) -> Scorer:
    vectorizer = TfidfVectorizer(stop_words="english", sublinear_tf=True)
    matrix = vectorizer.fit_transform(texts)

    def score(question: str) -> Scores:
        return np.asarray((matrix @ vectorizer.transform([question]).T).todense(), np.float64).ravel()

    return score


def _vectors(texts: Sequence[str], encoder: Encodes) -> Scorer:
    rows = encoder.encode(list(texts))

    def score(question: str) -> Scores:
        return np.asarray(rows @ encoder.encode([question])[0], np.float64)

    return score


def ranking(scores: Scores, answers: Sequence[Answer]) -> Ranking:
    """The best answers by score; ties go by id."""
    order = sorted(range(len(answers)), key=lambda i: (-scores[i], answers[i].id))[:KEPT]
    return Ranking(tuple(answers[i].id for i in order), float(scores[order[0]]) if order else 0.0)

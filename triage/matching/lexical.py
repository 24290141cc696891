"""Word ranking of the answers: BM25 of SQLite's full-text search, in memory."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence

_WEIGHTS = "4.0, 3.0, 1.0"  # title, questions, text
MAX_WORDS = 64


class LexicalIndex:
    """BM25 over title, questions and text of each answer."""

    def __init__(self, rows: Iterable[tuple[str, str, str]]) -> None:
        self._db = sqlite3.connect(":memory:", check_same_thread=False)
        self._db.execute("create virtual table answer using fts5(title, question, text, tokenize='porter unicode61')")
        self._db.executemany("insert into answer values (?, ?, ?)", rows)

    def scores(self, words: Sequence[str], size: int) -> list[float]:
        """BM25 per answer, in the order given at building; higher is better, 0 where no word meets."""
        result = [0.0] * size
        query = " OR ".join(f'"{word}"' for word in dict.fromkeys(words[:MAX_WORDS]) if word.isalnum())
        if query:
            sql = f"select rowid, bm25(answer, {_WEIGHTS}) from answer where answer match ?"
            for row, score in self._db.execute(sql, (query,)):
                result[row - 1] = -score
        return result

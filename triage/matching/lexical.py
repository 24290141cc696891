"""Word ranking of the answers: SQLite's full-text search, in memory, or in a file for a large base."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

_WEIGHTS = "4.0, 3.0, 1.0"  # title, questions, text
_TABLE = "create virtual table answer using fts5(title, question, text, tokenize='porter unicode61')"
MAX_WORDS = 64
MOST_ROWS = 6_400  # rows looked at for one question: 64 words of 100 answers; the rarest words go first
Floats = NDArray[np.float64]
Weighed = list[tuple[str, int]]  # words with the number of answers that use them


class LexicalIndex:
    """BM25 over title, questions and text of each answer; answers are numbered from 0."""

    def __init__(self, rows: Iterable[tuple[str, str, str]], file: Path | None = None) -> None:
        self._db = sqlite3.connect(file or ":memory:", check_same_thread=False)
        self._db.execute(_TABLE)
        self._db.executemany("insert into answer values (?, ?, ?)", rows)
        self._db.commit()
        self._prepare()

    @classmethod
    def opened(cls, file: Path) -> LexicalIndex:
        """The index an earlier run wrote into a file. Raises sqlite3.Error when the file holds none."""
        index = cls.__new__(cls)
        index._db = sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True, check_same_thread=False)
        index._prepare()
        return index

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()

    def _prepare(self) -> None:
        self._db.execute("create virtual table temp.term using fts5vocab('main', 'answer', 'row')")
        self._db.execute("create virtual table temp.folded using fts5(word, tokenize='porter unicode61')")
        self._db.execute("create virtual table temp.folded_term using fts5vocab('temp', 'folded', 'instance')")
        self.size: int = self._db.execute("select count(*) from answer").fetchone()[0]

    def scores(self, words: Sequence[str], size: int) -> list[float]:
        """BM25 per answer, in the order given at building; higher is better, 0 where no word meets."""
        result = [0.0] * size
        if query := " OR ".join(f'"{word}"' for word, _ in self._weighed(words)):
            sql = f"select rowid, bm25(answer, {_WEIGHTS}) from answer where answer match ?"
            for row, score in self._db.execute(sql, (query,)):
                result[row - 1] = -score
        return result

    def _weighed(self, words: Sequence[str]) -> Weighed:
        """The words some answer uses, rarest first, until MOST_ROWS are full."""
        asked = tuple(dict.fromkeys(word for word in words[:MAX_WORDS] if word.isalnum()))
        return _rarest(zip(asked, self._rows(asked), strict=True))

    def _rows(self, words: Sequence[str]) -> list[int]:
        """In how many answers each word stands, in any of its forms: SQLite's own stemmer folds them."""
        self._db.execute("delete from temp.folded")
        self._db.executemany("insert into temp.folded (rowid, word) values (?, ?)", enumerate(words))
        sql = "select f.doc, t.doc from temp.folded_term f join temp.term t on t.term = f.term"
        counts = dict(self._db.execute(sql).fetchall())
        return [int(counts.get(number, 0)) for number in range(len(words))]


def _rarest(counted: Iterable[tuple[str, int]]) -> Weighed:
    kept, rows = [], 0
    for word, count in sorted(counted, key=lambda item: item[1]):
        if count and rows + count <= MOST_ROWS:
            kept.append((word, count))
            rows += count
    return kept

"""Indexes of a large answer base, kept on disk between runs; a small one is built in memory, which is quicker."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from triage.matching.encode import Vectors
from triage.matching.index import Indexes, Row
from triage.matching.lexical import LexicalIndex
from triage.matching.nearest import LARGE, Nearest


@dataclass(frozen=True)
class KeptIndexes(Indexes):
    """Word index and neighbour graph of one pack and encoder, named by `digest`, in a folder."""

    folder: Path
    digest: str

    def words(self, rows: Iterable[Row], passages: int) -> LexicalIndex:
        """The word index of an earlier run, else a new one, written for the next."""
        file = self.folder / f"words-{self.digest}.db"
        if passages < LARGE or not _may_write(self.folder):
            return LexicalIndex(rows)
        try:
            return LexicalIndex.opened(file)
        except sqlite3.Error:
            return self._new_words(list(rows), file)

    def _new_words(self, rows: list[Row], file: Path) -> LexicalIndex:
        """Made in its file, or in memory where there is no room for one."""
        half = file.with_suffix(f".{os.getpid()}")
        try:
            LexicalIndex(rows, half).close()
            half.replace(file)
            return LexicalIndex.opened(file)
        except (OSError, sqlite3.Error):
            half.unlink(missing_ok=True)
            return LexicalIndex(rows)

    def nearest(self, vectors: Vectors) -> Nearest | None:
        """The graph of an earlier run, mapped and not read; else a new one, written for the next."""
        file = self.folder / f"nearest-{self.digest}.usearch"
        if len(vectors) >= LARGE and file.is_file():
            with suppress(Exception):  # the library raises what it likes for a damaged file
                return Nearest.opened(file)
        graph = Nearest.over(vectors)
        if graph is not None and _may_write(self.folder):
            half = file.with_suffix(f".{os.getpid()}")
            try:
                graph.save(half)
                half.replace(file)
            except Exception:  # no room, or the library's own error for it: the graph in memory is as good
                half.unlink(missing_ok=True)
        return graph


def _may_write(folder: Path) -> bool:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return False
    return os.access(folder, os.W_OK)

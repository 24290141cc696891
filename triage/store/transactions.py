"""When to begin and commit: each change by itself, or many changes in one transaction."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlite_utils import Database


@contextmanager
def immediate(db: Database) -> Iterator[None]:
    """A transaction that takes the write lock at once, so that it cannot fail half-way for want of it."""
    db.execute("begin immediate")
    try:
        yield
        db.execute("commit")
    except BaseException:
        db.rollback()
        raise


class Transactions:
    """The transactions of one connection. A change is whole or absent, inside a batch as well as outside."""

    def __init__(self, db: Database) -> None:
        self._db = db
        self._every = 0  # changes per commit; 0 outside a batch
        self._done = 0  # changes since the last commit

    @contextmanager
    def change(self) -> Iterator[None]:
        """One change: committed at its end, or, in a batch, with its neighbours."""
        if not self._every:
            with immediate(self._db):
                yield
            return
        if not self._db.conn.in_transaction:
            self._db.execute("begin immediate")
        with self._db.atomic():
            yield
        self._done += 1
        if self._done >= self._every:
            self._commit()

    def begin_batch(self, every: int) -> None:
        """From now on commit after `every` changes only."""
        if every < 1 or self._every:
            raise ValueError("A batch commits after 1 change or more, and does not stand in another batch.")
        self._every = every

    def end_batch(self) -> None:
        """Commit what is finished; from now on each change is committed by itself."""
        self._every = 0
        self._commit()

    @contextmanager
    def look(self) -> Iterator[None]:
        """Several reads that see one and the same moment."""
        with self._db.atomic():
            yield

    def _commit(self) -> None:
        self._done = 0
        try:
            self._db.commit()
        except BaseException:
            self._db.rollback()
            raise

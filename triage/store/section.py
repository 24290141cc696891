"""A section of the store with an interface of its own, inside the store's transactions."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager

from sqlite_utils import Database

from triage.store.change import Change


class Section:
    """Changes are signed by whom; looks see one moment."""

    def __init__(
        self,
        change: Callable[[str], AbstractContextManager[Change]],
        look: Callable[[], AbstractContextManager[Database]],
    ) -> None:
        self._change = change
        self._look = look

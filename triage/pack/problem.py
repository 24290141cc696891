"""What is wrong with a pack, where, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from rapidfuzz import fuzz, process

Severity = Literal["error", "warning"]


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing wrong in one file. Lines and columns count from 1; 0 where there is no such place."""

    file: str
    line: int
    column: int
    key: str  # path of keys down to the bad value: "applies_to.makes.2"; a spreadsheet's column name
    message: str
    fix: str = ""
    severity: Severity = "error"

    def __str__(self) -> str:
        where = ":".join([self.file, *(str(n) for n in (self.line, self.column) if n)])
        key = f"{self.key}: " if self.key else ""
        return f"{where}: {self.severity}: {key}{self.message}." + (f" {self.fix}" if self.fix else "")


class PackError(ValueError):
    """A pack, or tables meant to become one, cannot be used; `problems` says everything that is wrong."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, self.problems)))


def nearest(name: str, known: Iterable[str], limit: int = 3) -> Sequence[str]:
    """The known names most like `name`, closest first; empty when none is near.

    >>> nearest("acd", ["acid", "road_use", "towing"])
    ['acid']
    """
    found = process.extract(name.casefold(), list(known), scorer=fuzz.ratio, limit=limit, score_cutoff=60)
    return [match[0] for match in found]


def suggest(name: str, known: Iterable[str]) -> str:
    """A sentence that leads from an unknown name to a known one."""
    names = sorted(known)
    near = nearest(name, names)
    if near:
        return f"Did you mean {' or '.join(repr(one) for one in near)}?"
    more = f" and {len(names) - 30} more" if len(names) > 30 else ""
    return f"Known: {', '.join(names[:30])}{more}." if names else "None is known."

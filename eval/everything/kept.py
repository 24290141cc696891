"""Results kept on disk under what they were made of: what did not change is not made again, and a run may stop."""

from __future__ import annotations

import ast
import hashlib
import os
import pickle
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TypeVar

T = TypeVar("T")

PROJECT = frozenset({"eval", "triage"})
_LEFT_OUT = frozenset({"__pycache__", ".git"})


def digest_of(sources: Iterable[Path], root: Path) -> str:
    """A digest of files and of all files below folders, by their name below `root` and their bytes."""
    total = hashlib.sha256()
    for file in sorted({file for source in sources for file in _files(source)}):
        total.update(f"{os.path.relpath(file, root)}\0".encode())
        total.update(hashlib.sha256(file.read_bytes()).digest())
    return total.hexdigest()


def _files(source: Path) -> Iterator[Path]:
    if source.is_file():
        yield source
    elif source.is_dir():
        yield from (f for f in source.rglob("*") if f.is_file() and _LEFT_OUT.isdisjoint(f.parts))


def code_of(module: str, root: Path) -> frozenset[Path]:
    """The files of a module and of all it imports of this project, at first or second hand."""
    found: set[Path] = set()
    waiting = [module]
    while waiting:
        file = _module_file(waiting.pop(), root)
        if file is not None and file not in found:
            found.add(file)
            waiting += _imported(file)
    return frozenset(found)


def data_beside(code: Iterable[Path]) -> frozenset[Path]:
    """What lies in the folders of these files, or below, and is no code: word lists, weights."""
    folders = {file.parent for file in code}
    return frozenset(file for folder in folders for file in _files(folder) if file.suffix not in (".py", ".pyc"))


def _module_file(module: str, root: Path) -> Path | None:
    place = root.joinpath(*module.split("."))
    return next((file for file in (place.with_suffix(".py"), place / "__init__.py") if file.is_file()), None)


@lru_cache(maxsize=1000)
def _imported(file: Path) -> tuple[str, ...]:
    return tuple(_imports(file))


def _imports(file: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").partition(".")[0] in PROJECT:
            yield str(node.module)
            yield from (f"{node.module}.{name.name}" for name in node.names)


@dataclass(frozen=True, slots=True)
class Kept:
    """A folder of results; only its own files are read back, as unpickling runs what the file says."""

    folder: Path

    def has(self, name: str, digest: str) -> bool:
        """True when the result made of these sources is there."""
        return self._file(name, digest).is_file()

    def get(self, name: str, digest: str, make: Callable[[], T]) -> T:
        """The kept result, else a new one, kept in place of older ones of that name."""
        file = self._file(name, digest)
        if file.is_file():
            found: T = pickle.loads(file.read_bytes())
            return found
        made = make()
        self.folder.mkdir(parents=True, exist_ok=True)
        half = file.with_suffix(f".{os.getpid()}")  # a run that is stopped leaves no half result under the name
        half.write_bytes(pickle.dumps(made))
        half.replace(file)
        for old in self.folder.glob(f"{name}-????????????????.pickle"):
            if old != file:
                old.unlink(missing_ok=True)
        return made

    def _file(self, name: str, digest: str) -> Path:
        return self.folder / f"{name}-{digest[:16]}.pickle"

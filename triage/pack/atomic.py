"""Whole or not at all: new folders and files appear under their name only when complete."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from triage.pack.problem import PackError, Problem


@contextmanager
def new_folder(target: Path) -> Iterator[Path]:
    """A folder to fill, which becomes `target` at the end; on any error nothing is left behind.

    Raises PackError when `target` is there already and is not an empty folder.
    """
    target = target.resolve()  # "." has no name and no parent of its own
    _refuse_taken(target)
    target.parent.mkdir(parents=True, exist_ok=True)
    # Beside the target, because a rename is atomic only within one file system.
    work = Path(tempfile.mkdtemp(prefix=f".{target.name}.partial-", dir=target.parent))
    try:
        work.chmod(0o755)
        yield work
        os.replace(work, target)
    finally:
        shutil.rmtree(work, ignore_errors=True)


def _refuse_taken(target: Path) -> None:
    if not target.exists():
        return
    if not target.is_dir():
        raise PackError([Problem(str(target), 0, 0, "", "this is not a folder", "Name a new folder.")])
    if any(target.iterdir()):
        fix = "Name a new folder; nothing here was touched."
        raise PackError([Problem(str(target), 0, 0, "", "this folder is not empty", fix)])


def write_files(contents: Mapping[Path, bytes]) -> None:
    """Write all files under temporary names first, then put each in its place."""
    written: dict[Path, Path] = {}
    try:
        for target, content in contents.items():
            target.parent.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(prefix=f".{target.name}.partial-", dir=target.parent)
            written[Path(name)] = target
            with os.fdopen(handle, "wb") as file:
                file.write(content)
        for work, target in written.items():
            work.chmod(0o644)
            os.replace(work, target)
    finally:
        for work in written:
            work.unlink(missing_ok=True)

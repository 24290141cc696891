"""Several files of a pack changed together: a crash at any point leaves all of the old or all of the new.

What is to be written is first laid into a folder of its own; one rename makes it the folder of a change that is
decided, and only then are the files put in place. Whoever comes next, to read or to write, finishes what was decided.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows has none: there, two that change a pack at the same moment are not kept apart
    fcntl = None  # type: ignore[assignment]

DECIDED = ".taking"
_STAGED = ".staged-"


def change_files(root: Path, contents: Mapping[Path, bytes | None]) -> None:
    """Write these files under `root`, and remove those given as None: all of them, or none. Raises OSError.

    Raises ValueError for a file outside `root`.
    """
    with _held(root, alone=True):
        _finish(root)
        _lay_out(root, contents)
        _finish(root)


def finish(root: Path) -> None:
    """Finish a change that was decided and interrupted."""
    if (root / DECIDED).is_dir():
        with _held(root, alone=True):
            _finish(root)


@contextmanager
def reading(root: Path) -> Iterator[None]:
    """While this lasts nobody changes the files under `root` by `change_files`."""
    while True:
        finish(root)
        with _held(root, alone=False):
            if not (root / DECIDED).is_dir():
                yield
                return


def _lay_out(root: Path, contents: Mapping[Path, bytes | None]) -> None:
    work = Path(tempfile.mkdtemp(prefix=_STAGED, dir=root))
    plan: list[dict[str, str]] = []
    for number, (target, content) in enumerate(contents.items()):
        plan.append({"file": target.relative_to(root).as_posix()})
        if content is not None:
            plan[-1]["from"] = str(number)
            _write(work / str(number), content)
    _write(work / "plan.json", json.dumps(plan).encode())
    _sync(work)
    work.replace(root / DECIDED)
    _sync(root)


def _finish(root: Path) -> None:
    """Put in place what was decided (done twice it does no harm); sweep up what was never decided."""
    decided = root / DECIDED
    if decided.is_dir():
        for step in json.loads((decided / "plan.json").read_text(encoding="utf-8")):
            _put(root / step["file"], decided / step["from"] if "from" in step else None)
        decided.replace(Path(tempfile.mkdtemp(prefix=_STAGED, dir=root)) / "done")
    for left in root.glob(f"{_STAGED}*"):
        shutil.rmtree(left, ignore_errors=True)


def _put(target: Path, source: Path | None) -> None:
    if source is None:
        target.unlink(missing_ok=True)
        return
    target.parent.mkdir(parents=True, exist_ok=True)
    partial = target.with_name(f".{target.name}.partial")
    shutil.copyfile(source, partial)
    _sync(partial)
    partial.replace(target)
    _sync(target.parent)


def _write(file: Path, content: bytes) -> None:
    file.write_bytes(content)
    _sync(file)


def _sync(path: Path) -> None:
    """Have the disk keep it now; folders cannot be synced everywhere."""
    with suppress(OSError):
        handle = os.open(path, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextmanager
def _held(root: Path, *, alone: bool) -> Iterator[None]:
    """A lock on the folder, freed by the system when the process ends; where there is none, go on without."""
    handle = -1
    try:
        with suppress(OSError):
            handle = os.open(root, os.O_RDONLY)
            if fcntl:
                fcntl.flock(handle, fcntl.LOCK_EX if alone else fcntl.LOCK_SH)
        yield
    finally:
        if handle >= 0:
            os.close(handle)

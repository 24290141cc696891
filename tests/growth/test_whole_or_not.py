"""A change to several files of a pack is whole or not at all, wherever the program is killed."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest

from triage.pack import journal
from triage.pack.journal import change_files, finish, reading

OLD = {"answers/a.md": b"old a", "answers/b.md": b"old b", "causes_seen.yaml": b"old causes"}
NEW = {"answers/a.md": b"new a", "answers/c.md": b"new c", "causes_seen.yaml": b"new causes"}  # b.md goes

# A process of its own, ended without any cleaning up before its n-th change to the disk under the folder.
_KILLED = """
import os, runpy, sys
from pathlib import Path
root, left = Path(sys.argv[1]), int(sys.argv[2])
change_files = runpy.run_path(sys.argv[3])["change_files"]  # alone: the whole program takes longer to start

def watch(event, arguments):
    global left
    changing = event in ("os.rename", "os.remove", "os.mkdir", "os.rmdir") or (
        event == "open" and isinstance(arguments[2], int) and arguments[2] & (os.O_WRONLY | os.O_RDWR))
    if changing:
        left -= 1
        if left < 0:
            os._exit(9)

sys.addaudithook(watch)
files = {"answers/a.md": b"new a", "answers/b.md": None, "answers/c.md": b"new c", "causes_seen.yaml": b"new causes"}
change_files(root, {root / name: content for name, content in files.items()})
"""


def files_in(root: Path) -> Mapping[str, bytes]:
    found = (path for path in root.rglob("*") if path.is_file())
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in found}


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    for name, content in OLD.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(content)
    return tmp_path


def killed_at(step: int, root: Path) -> bool:
    done = subprocess.run([sys.executable, "-S", "-c", _KILLED, str(root), str(step), journal.__file__], check=False)
    assert done.returncode in (0, 9)
    return done.returncode == 9


def test_killed_at_any_step_it_leaves_the_old_files_or_the_new_ones(tmp_path: Path) -> None:
    step, seen = 0, set[str]()
    while True:
        root = tmp_path / str(step)
        for name, content in OLD.items():
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_bytes(content)
        killed = killed_at(step, root)
        with reading(root):
            left = {name: content for name, content in files_in(root).items() if not name.startswith(".staged-")}
        assert left in (OLD, NEW)
        seen.add("old" if left == OLD else "new")
        if not killed:
            break
        step += 1
    assert step > 15  # it was killed in many places, before and after it was decided
    assert seen == {"old", "new"}


def test_the_next_change_sweeps_up_what_a_killed_one_left(shop: Path) -> None:
    assert killed_at(3, shop)
    change_files(shop, {shop / "answers" / "d.md": b"d"})
    assert files_in(shop) == OLD | {"answers/d.md": b"d"}


def test_finishing_twice_does_no_harm(shop: Path) -> None:
    change_files(shop, {shop / "answers" / "a.md": b"new a"})
    finish(shop)
    finish(shop)
    assert files_in(shop)["answers/a.md"] == b"new a"


def test_a_file_outside_the_folder_is_refused_and_nothing_is_changed(shop: Path) -> None:
    with pytest.raises(ValueError, match="not in the subpath"):
        change_files(shop, {shop / "answers" / "a.md": b"x", shop.parent / "elsewhere": b"y"})
    finish(shop)
    change_files(shop, {})
    assert files_in(shop) == OLD

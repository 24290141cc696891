"""A new pack is complete at once, or not there at all."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from triage.pack import PackError, check, load, scaffold
from triage.pack.atomic import new_folder, write_files


def test_a_new_pack_loads_with_nothing_to_correct(tmp_path: Path) -> None:
    scaffold(tmp_path / "shop")
    pack = load(tmp_path / "shop")
    assert (len(pack.vehicles), len(pack.answers)) == (1, 1)
    here = [problem for problem in check(tmp_path / "shop") if problem.file.startswith(str(tmp_path))]
    assert here == []


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    scaffold(tmp_path)
    assert (tmp_path / "shop" / "shop.yaml").is_file()


def test_the_folder_one_stands_in_is_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    scaffold(Path())
    assert (tmp_path / "shop" / "shop.yaml").is_file()


def test_a_filled_folder_is_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(PackError, match="not empty"):
        scaffold(tmp_path)
    assert [file.name for file in tmp_path.iterdir()] == ["mine.txt"]


def test_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "mine").write_text("mine")
    with pytest.raises(PackError, match="not a folder"):
        scaffold(tmp_path / "mine")


def test_a_rename_that_fails_leaves_nothing(tmp_path: Path) -> None:
    target = tmp_path / "new"
    with pytest.raises(OSError), new_folder(target) as work:
        (work / "a").write_text("a")
        target.mkdir()
        (target / "someone-else").write_text("b")  # a folder that is not empty cannot be replaced
    assert [file.name for file in tmp_path.iterdir()] == ["new"]
    assert [file.name for file in target.iterdir()] == ["someone-else"]


def test_a_killed_program_leaves_no_half_pack(tmp_path: Path) -> None:
    code = (
        "import os, sys\nfrom pathlib import Path\nfrom triage.pack.atomic import new_folder\n"
        "with new_folder(Path(sys.argv[1])) as work:\n    (work / 'a').write_text('a')\n    os._exit(9)\n"
    )
    done = subprocess.run([sys.executable, "-c", code, str(tmp_path / "new")], check=False)
    assert done.returncode == 9
    assert not (tmp_path / "new").exists()


def test_files_are_replaced_only_when_all_are_written(tmp_path: Path) -> None:
    (tmp_path / "a").write_text("old")
    with pytest.raises(OSError):
        write_files({tmp_path / "a": b"new", tmp_path / "a" / "b": b"new"})
    assert (tmp_path / "a").read_text() == "old"
    assert len(list(tmp_path.iterdir())) == 1

"""Kept parts: made anew when code, knowledge or labels change, and only then."""

from __future__ import annotations

from pathlib import Path

import pytest

from eval.everything.kept import Kept, code_of, data_beside, digest_of


@pytest.fixture
def project(tmp_path: Path) -> Path:
    files = {
        "eval/__init__.py": "", "eval/first.py": "from eval.second import x\nimport json\n",
        "eval/second.py": "def late():\n    from triage.stage import y\n", "eval/other.py": "",
        "triage/__init__.py": "", "triage/stage/__init__.py": "", "triage/stage/words.txt": "one",
        "labels/questions.jsonl": "{}",
    }  # fmt: skip
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def test_code_is_what_is_imported_at_second_hand_and_late(project: Path) -> None:
    found = {str(file.relative_to(project)) for file in code_of("eval.first", project)}
    assert {"eval/first.py", "eval/second.py", "triage/stage/__init__.py"} <= found
    assert "eval/other.py" not in found
    stage = [file for file in code_of("eval.first", project) if file.parent.name == "stage"]
    assert [file.name for file in data_beside(stage)] == ["words.txt"]


@pytest.mark.parametrize(
    ("changed", "counts"),
    [("eval/second.py", True), ("labels/questions.jsonl", True), ("eval/other.py", False), ("labels/new.csv", True)],
)
def test_a_digest_follows_code_and_data(changed: str, counts: bool, project: Path) -> None:
    def digest() -> str:
        return digest_of((*code_of("eval.first", project), project / "labels"), project)

    before = digest()
    (project / changed).write_text("x = 2\n", encoding="utf-8")
    assert (digest() != before) is counts


def test_a_result_is_made_once_and_an_older_one_goes(tmp_path: Path) -> None:
    kept, made = Kept(tmp_path), []
    for digest in ("a" * 64, "a" * 64, "b" * 64):
        assert kept.get("part", digest, lambda: made.append(1) or len(made)) == len(made)
    assert len(made) == 2 and [file.name for file in tmp_path.iterdir()] == [f"part-{'b' * 16}.pickle"]
    assert kept.has("part", "b" * 64) and not kept.has("part", "a" * 64)


def test_a_part_that_fails_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(ZeroDivisionError):
        Kept(tmp_path).get("part", "a" * 64, lambda: 1 // 0)
    assert list(tmp_path.iterdir()) == []

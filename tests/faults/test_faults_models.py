"""Models, weights and caches that are missing, damaged or cannot be written. The table is docs/faults.md."""

from __future__ import annotations

import inspect
import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from toys import Words

from triage import shipped
from triage.engine import VectorCache, write_quietly
from triage.facts.symptom_weights import _load as load_symptoms
from triage.kept import KeptIndexes
from triage.safety.keep import _load as load_dangers
from triage.unusable import Unusable

ENCODER = Path(shipped.__file__).parent / "matching" / "encoder"


@pytest.fixture
def installed(tmp_path: Path) -> Path:
    """A small program as it is packed: some shipped files and the list made of them."""
    package = tmp_path / "triage"
    (package / "matching" / "encoder").mkdir(parents=True)
    (package / "safety" / "learnt").mkdir(parents=True)
    for name in ("encoder.json", "tokenizer.json"):
        shutil.copy(ENCODER / name, package / "matching" / "encoder" / name)
    (package / "matching" / "encoder" / "model.onnx").write_bytes(b"model" * 1000)
    (package / "matching" / "ranker.json").write_text("{}")
    (package / "safety" / "learnt" / "hazards-1.npz").write_bytes(b"weights" * 1000)
    (package / shipped.LIST).write_text(json.dumps(shipped.digests(package)))
    return package


def test_what_was_packed_is_taken(installed: Path) -> None:
    shipped.check(installed)
    assert len(shipped.digests(installed)) == 5


@pytest.mark.parametrize(
    "name",
    [
        "matching/encoder/model.onnx",
        "matching/encoder/tokenizer.json",
        "matching/ranker.json",
        "safety/learnt/hazards-1.npz",
    ],
)
@pytest.mark.parametrize("how", ["missing", "cut short", "one bit"])
def test_a_shipped_file_that_is_missing_or_damaged_is_named_before_anything_is_read(
    installed: Path, name: str, how: str
) -> None:
    """One bit is enough: a model with it would read wrongly, and say nothing."""
    file = installed / name
    data = file.read_bytes()
    file.unlink()
    if how != "missing":
        file.write_bytes(data[:-1] if how == "cut short" else bytes([data[0] ^ 1]) + data[1:])
    with pytest.raises(Unusable, match=r"missing or damaged\. Install the program again.*not touched") as told:
        shipped.check(installed)
    assert str(file) in str(told.value)


def test_the_list_covers_every_model_and_weight_of_this_program() -> None:
    names = " ".join(shipped.digests())
    for name in ("model.onnx", "tokenizer.json", "ranker.json", "hazards-", "symptoms-", "weights.json"):
        assert name in names


@pytest.mark.parametrize("damage", [b"", b"\0" * 5000, None], ids=["emptied", "zeroed", "bytes changed"])
def test_damaged_vectors_cost_time_and_no_result(tmp_path: Path, damage: bytes | None) -> None:
    cache = VectorCache(Words(), tmp_path)
    right = cache.encode(["it clicks", "it hums"])
    cache.save()
    (file,) = tmp_path.iterdir()
    whole = bytearray(file.read_bytes())
    whole[len(whole) // 2] ^= 0xFF
    file.write_bytes(bytes(whole) if damage is None else damage)
    again = VectorCache(Words(), tmp_path)
    assert (again.encode(["it clicks", "it hums"]) == right).all()


def test_a_full_cache_disk_costs_time_and_no_work(tmp_path: Path) -> None:
    def full(_: Path) -> None:
        raise OSError(28, "No space left on device")

    write_quietly(tmp_path / "vectors.npz", full)
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def large(monkeypatch: pytest.MonkeyPatch) -> np.ndarray:
    """A base that counts as large, so that its indexes are kept on disk."""
    monkeypatch.setattr("triage.kept.LARGE", 10)
    monkeypatch.setattr("triage.matching.nearest.LARGE", 10)
    rows = np.random.default_rng(1).normal(size=(50, 16)).astype(np.float32)
    return rows / np.linalg.norm(rows, axis=1, keepdims=True)


ROWS = [(f"title {n}", f"question {n} clicks", f"text {n}") for n in range(50)]


@pytest.mark.parametrize("damage", ["emptied", "cut short", "other"])
def test_damaged_indexes_of_a_large_base_are_made_anew(tmp_path: Path, large: np.ndarray, damage: str) -> None:
    kept = KeptIndexes(tmp_path, "d")
    graph = kept.nearest(large)
    assert graph is not None
    first = kept.words(ROWS, 50).scores(["clicks"], 50), set(graph.rows(large[3], 5))
    for file in tmp_path.iterdir():
        data = file.read_bytes()
        file.write_bytes({"emptied": b"", "cut short": data[: len(data) // 3], "other": b"words" * 900}[damage])
    again = kept.words(ROWS, 50), kept.nearest(large)
    assert again[1] is not None
    assert (again[0].scores(["clicks"], 50), set(again[1].rows(large[3], 5))) == first


def test_a_cache_folder_that_cannot_be_written_costs_time_and_no_work(tmp_path: Path, large: np.ndarray) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    kept = KeptIndexes(blocked / "below", "d")
    assert kept.words(ROWS, 50).scores(["clicks"], 50)
    assert kept.nearest(large) is not None


def test_no_room_for_the_indexes_costs_time_and_no_work(tmp_path: Path, large: np.ndarray, monkeypatch) -> None:
    def no_room(*_: object) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(Path, "replace", no_room)
    kept = KeptIndexes(tmp_path, "d")
    assert kept.words(ROWS, 50).scores(["clicks"], 50)
    assert kept.nearest(large) is not None
    assert not list(tmp_path.glob("*.db")) and not list(tmp_path.glob("*.usearch"))


@pytest.mark.parametrize("damage", [b"", b"\0" * 5000, None], ids=["emptied", "zeroed", "bytes changed"])
@pytest.mark.parametrize("loads", [load_dangers, load_symptoms], ids=["dangers", "symptoms"])
def test_damaged_weights_of_a_shop_are_learnt_anew(tmp_path: Path, loads: Callable, damage: bytes | None) -> None:
    """A file that cannot be read counts as none, so that it is learnt again."""
    shipped_one = next(Path(inspect.getfile(loads)).parent.glob("learnt/*.npz"))
    whole = bytearray(shipped_one.read_bytes())
    whole[len(whole) // 2 : len(whole) // 2 + 2000] = bytes(2000)
    file = tmp_path / shipped_one.name
    file.write_bytes(bytes(whole) if damage is None else damage)
    assert loads(shipped_one) is not None
    assert loads(file) is None

"""triage pack and triage encoder: from nothing to a shop, to spreadsheets and back."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from .conftest import Triage

BUILDS = importlib.util.find_spec("sentence_transformers") is not None


def test_new_check_export_import_and_read(triage: Triage, tmp_path: Path) -> None:
    triage("pack", "new", tmp_path / "mine")
    assert "0 errors" in triage("pack", "check", "--pack", tmp_path / "mine").out
    tables = ("--vehicles", tmp_path / "v.xlsx", "--answers", tmp_path / "a.csv")
    triage("pack", "export", "--pack", tmp_path / "mine", *tables)
    made = triage("pack", "import", *tables, "--to", tmp_path / "back")
    assert "1 vehicle, 1 answer." in made.out
    problems = triage("pack", "check", "--pack", tmp_path / "back", "--json").json
    assert [problem for problem in problems if problem["severity"] == "error"] == []
    reading = triage("read", "--pack", tmp_path / "back", "--json", stdin="Where do I find the serial number?").json
    assert reading["matches"][0]["answer"] == "example-plate"


def test_export_and_import_lose_nothing_of_the_demo_shop(triage: Triage, tmp_path: Path) -> None:
    first = ("--vehicles", tmp_path / "v1.csv", "--answers", tmp_path / "a1.csv")
    second = ("--vehicles", tmp_path / "v2.csv", "--answers", tmp_path / "a2.csv")
    triage("pack", "export", *first)
    triage("pack", "import", *first, "--to", tmp_path / "back")
    triage("pack", "export", "--pack", tmp_path / "back", *second)
    assert (tmp_path / "v1.csv").read_bytes() == (tmp_path / "v2.csv").read_bytes()
    assert (tmp_path / "a1.csv").read_bytes() == (tmp_path / "a2.csv").read_bytes()


def test_every_bad_row_is_named_at_once_and_nothing_is_made(triage: Triage, tmp_path: Path) -> None:
    (tmp_path / "v.csv").write_text("make,model,powertrain\nTarvik,Lark,steam\n,Wren,petrol\n")
    (tmp_path / "a.csv").write_text("id,title,question,answer\nx,T,Q,A\nx,T,Q,A\n")
    tables = ("--vehicles", tmp_path / "v.csv", "--answers", tmp_path / "a.csv")
    lines = triage("pack", "import", *tables, "--to", tmp_path / "made", code=1).err.splitlines()
    assert len(lines) >= 3
    assert any("v.csv:2" in line and "powertrain" in line for line in lines)
    assert any("v.csv:3" in line and "make" in line for line in lines)
    assert any("a.csv:3" in line for line in lines)
    assert not (tmp_path / "made").exists()


def test_a_folder_in_use_is_not_touched(triage: Triage, tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    assert "nothing here was touched" in triage("pack", "new", tmp_path, code=1).err
    assert [path.name for path in tmp_path.glob("*.*")] == ["mine.txt"]


@pytest.mark.skipif(BUILDS, reason="the encoder extra is here")
def test_building_the_encoder_says_what_it_needs(triage: Triage, tmp_path: Path) -> None:
    err = triage("encoder", "build", "--to", tmp_path / "encoder", code=1).err
    assert "pip install 'cart-triage[encoder]'" in err


@pytest.mark.skipif(BUILDS, reason="the encoder extra is here")
def test_another_encoder_says_what_it_needs(triage: Triage) -> None:
    err = triage("read", "--encoder", "some-model", stdin="a question", code=1).err
    assert "pip install 'cart-triage[encoder]'" in err


@pytest.mark.encoder
@pytest.mark.skipif(not BUILDS, reason="needs the encoder extra")
def test_building_the_encoder_agrees_with_its_source(triage: Triage, tmp_path: Path) -> None:
    measured = triage("encoder", "build", "--to", tmp_path / "encoder").json
    assert measured["cosine_fp32"] >= 0.999
    assert (tmp_path / "encoder" / "model.onnx").stat().st_size > 1_000_000

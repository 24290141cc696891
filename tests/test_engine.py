"""Opening a pack: vectors are kept per encoder, never mixed, and only what changed is read again."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from toys import Words

from triage.engine import VectorCache, assemble, cache_folder, open_engine
from triage.model import Question
from triage.pack import PackError, load
from triage.pipeline import Stages, read

KNOWLEDGE = Path(__file__).parents[1] / "knowledge"


@pytest.fixture(scope="module")
def pack():
    return load(KNOWLEDGE)


@pytest.fixture
def learnt(toy_stages: Stages, toy_cache: Path, tmp_path: Path) -> Path:
    """A cache folder without vectors, in which the weights are learnt already: that takes half a minute."""
    for kind in ("hazards", "symptoms"):
        for file in toy_cache.glob(f"{kind}-*.npz"):
            shutil.copy(file, tmp_path)
    return tmp_path


def vector_files(folder: Path) -> list[str]:
    return sorted(file.name for file in folder.glob("vectors-*"))


def test_each_encoder_has_a_file_of_its_own(tmp_path):
    for tag in ("one/fp32", "one/int8", "two/fp32"):
        cache = VectorCache(Words(tag), tmp_path)
        cache.encode(["it clicks"])
        cache.save()
    assert len(vector_files(tmp_path)) == 3


def test_vectors_of_another_encoder_are_never_taken(tmp_path):
    """Same text, same folder, another tag: encoded anew, even where both have the same dimension."""
    first, second = Words("one"), Words("two")
    for encoder in (first, second):
        cache = VectorCache(encoder, tmp_path)
        cache.encode(["it clicks"])
        cache.save()
    assert first.encoded == second.encoded == ["it clicks"]


def test_a_text_is_read_once(tmp_path):
    for expected in (["it clicks", "it hums"], []):
        encoder = Words()
        cache = VectorCache(encoder, tmp_path)
        rows = cache.encode(["it clicks", "it hums", "it clicks"])
        cache.save()
        assert encoder.encoded == expected
        assert (rows == Words().encode(["it clicks", "it hums", "it clicks"])).all()


def test_a_changed_answer_is_read_again_and_nothing_else(pack, learnt):
    assemble(pack, Words(), learnt)
    answers = list(pack.answers)
    answers[0] = replace(answers[0], question="Whatever became of the purple giraffe?")
    again = Words()
    assemble(replace(pack, answers=tuple(answers), digest="changed"), again, learnt)
    assert again.encoded and all("giraffe" in text for text in again.encoded)


def test_opened_again_nothing_is_read_again(pack, learnt):
    assemble(pack, Words(), learnt)
    again = Words()
    stages = assemble(pack, again, learnt)
    assert again.encoded == []
    assert stages.index.tag == again.tag


@pytest.mark.parametrize("damage", [b"", b"not a zip", b"PK\x03\x04 cut short"], ids=["empty", "other", "cut-short"])
def test_a_damaged_cache_costs_time_and_not_work(tmp_path, damage):
    cache = VectorCache(Words(), tmp_path)
    cache.encode(["it clicks"])
    cache.save()
    (tmp_path / vector_files(tmp_path)[0]).write_bytes(damage)
    encoder = Words()
    assert VectorCache(encoder, tmp_path).encode(["it clicks"]).shape == (1, encoder.dimension)
    assert encoder.encoded == ["it clicks"]


def test_a_cache_of_another_dimension_is_not_taken(tmp_path):
    cache = VectorCache(Words(dimension=64), tmp_path)
    cache.encode(["it clicks"])
    cache.save()
    assert VectorCache(Words(dimension=128), tmp_path).encode(["it clicks"]).shape == (1, 128)


def test_a_folder_that_cannot_be_written_is_no_error(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    cache = VectorCache(Words(), blocked / "below")
    cache.encode(["it clicks"])
    cache.save()


def test_no_texts_give_no_rows(tmp_path):
    assert VectorCache(Words(), tmp_path).encode([]).shape == (0, Words().dimension)


def test_the_cache_folder_can_be_named(monkeypatch, tmp_path):
    monkeypatch.setenv("TRIAGE_CACHE", str(tmp_path))
    assert cache_folder() == tmp_path


def test_a_folder_without_a_pack_says_so(tmp_path):
    with pytest.raises(PackError):
        open_engine(tmp_path / "nowhere", cache=tmp_path)


def test_progress_is_told_in_words(pack, learnt):
    said: list[str] = []
    assemble(pack, Words(), learnt, said.append)
    assert any("first time" in line for line in said)


@pytest.mark.parametrize("answers", [0, 1], ids=["no-answers", "one-answer"])
def test_a_base_with_next_to_nothing_in_it_still_reads(pack, learnt, answers):
    stages = assemble(replace(pack, answers=pack.answers[:answers], digest=f"{answers}"), Words(), learnt)
    reading = read(Question("q", "my 48 volt Lark clicks but will not move"), stages)
    assert len(reading.matches) <= answers and reading.draft.body and reading.reasons


def test_no_causes_no_checks_and_no_crash(pack, learnt):
    stages = assemble(replace(pack, causes={}, checks={}), Words(), learnt)
    reading = read(Question("q", "my 48 volt Lark clicks but will not move"), stages)
    assert reading.causes == () == reading.checks and np.isfinite([m.probability for m in reading.matches]).all()

"""Answer files: a round trip changes no byte, and a change shows as the smallest difference."""

from __future__ import annotations

import difflib
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.growth.body import is_branch, laid_out, with_branch, with_replaced
from triage.growth.file_text import changed, fresh
from triage.growth.propose import sentences_of
from triage.pack import Pack, load
from triage.pack.documents import read_document
from triage.pack.importing import import_tables
from triage.pack.records import ANSWERS, Entry, build
from triage.pack.schema import Answer

ROOT = Path(__file__).parents[2]
SHOPS = ["demo", "second", "third", "fourth"]


@pytest.fixture(scope="session", params=SHOPS)
def shop_pack(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Pack:
    if request.param == "demo":
        return load(ROOT / "knowledge")
    tables, target = ROOT / "eval" / f"{request.param}_shop", tmp_path_factory.mktemp("packs") / request.param
    import_tables(tables / "vehicles.csv", tables / "answers.csv", target)
    return load(target)


def read(file: Path) -> Answer:
    document = read_document(file)
    made = build(ANSWERS, document.data(), document)
    assert isinstance(made, Entry)
    answer: Answer = made.record
    return answer


def test_every_answer_file_of_every_shop_comes_back_byte_for_byte(shop_pack: Pack, tmp_path: Path) -> None:
    files = sorted((shop_pack.root / "shop" / "answers").rglob("*.md"))
    assert len(files) == len(shop_pack.answers) >= 60
    for file in files:
        text = file.read_text(encoding="utf-8")
        answer = shop_pack.answer(read(file).id)
        assert changed(text, answer, answer) == text
        (tmp_path / "fresh.md").write_text(fresh(answer), encoding="utf-8")
        assert read(tmp_path / "fresh.md") == answer


def test_a_change_shows_as_the_lines_that_changed(shop_pack: Pack) -> None:
    file = sorted((shop_pack.root / "shop" / "answers").rglob("*.md"))[3]
    text, before = file.read_text(encoding="utf-8"), read(file)
    after = replace(
        before, variants=[*before.variants, "it clicks: why"], text=with_branch(before.text, "If it is wet: dry it.")
    )
    difference = [
        line for line in difflib.ndiff(text.splitlines(), changed(text, before, after).splitlines()) if line[0] in "+-?"
    ]
    assert not [line for line in difference if line.startswith("-")]
    assert [line[2:].strip() for line in difference if line[2:].strip()][-1] == "- If it is wet: dry it."
    assert len(difference) <= 4  # the wording (with its key where there was none), and the branch


def test_only_the_block_of_a_reworded_sentence_is_wrapped_anew() -> None:
    text = "One stays\nas it is wrapped.\n\n- If it is cold: wait.\n- If it is warm: go on\n  at once. Then stop."
    assert with_replaced(text, "It is not there.", "Nor is this.") == text
    assert with_replaced(text, "If it is warm: go on at once.", "If it is warm: go.") == (
        "One stays\nas it is wrapped.\n\n- If it is cold: wait.\n- If it is warm: go. Then stop."
    )


_WORDS = st.lists(
    st.sampled_from("the pack is full cold 48 V wait then charge it slowly".split()), min_size=2, max_size=30
)
_SENTENCES = st.builds(
    lambda words, branch: ("If it is so: " if branch else "Now ") + " ".join(words) + ".", _WORDS, st.booleans()
)


@given(st.lists(_SENTENCES, min_size=1, max_size=8, unique=True))
def test_what_is_laid_out_reads_back_as_the_same_sentences(texts: list[str]) -> None:
    told = sentences_of(Answer("a", "A", "Q?", laid_out(texts)))
    assert list(told) == texts
    assert [is_branch(text) for text in told] == [text.startswith("If") for text in texts]

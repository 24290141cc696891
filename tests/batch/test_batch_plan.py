"""Parts and ledger: the same mail makes the same parts; a cut-off line counts for nothing; other terms are refused."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.batch.ledger import NAME, Done, Ledger
from triage.batch.plan import cut
from triage.model import Rejected
from triage.unusable import Unusable

from .toy import TERMS, mails

DONE = Done(1, "of", 5, 5, 0, "digest")


@given(st.integers(0, 40), st.integers(1, 12))
def test_parts_hold_everything_once_in_order(count: int, size: int) -> None:
    parts = list(cut(mails(count), size))
    arrived = [item for part in parts for item in part.arrived]
    assert arrived == [replace(mail, raw=b"") for mail in mails(count)]
    assert [part.number for part in parts] == list(range(1, len(parts) + 1))
    assert all(len(part.arrived) == size for part in parts[:-1])


def test_other_mail_makes_another_digest() -> None:
    (first,) = cut(mails(3), 5)
    changed = [*list(mails(2)), Rejected("a.mbox, message 3", "empty", b"")]
    (second,) = cut(changed, 5)
    assert first.digest != second.digest
    assert next(iter(cut(mails(3), 5))).digest == first.digest


@pytest.mark.parametrize("cut_off", ['{"part": 2, "of"', "x", '{"part": 2}'], ids=["half", "one letter", "no line end"])
def test_a_line_that_a_kill_cut_off_counts_for_nothing(tmp_path: Path, cut_off: str) -> None:
    Ledger(tmp_path, TERMS).enter(DONE)
    with (tmp_path / NAME).open("a") as file:
        file.write(cut_off)
    assert Ledger(tmp_path, TERMS).done == {1: DONE}
    Ledger(tmp_path, TERMS).enter(replace(DONE, part=2))
    assert Ledger(tmp_path, TERMS).done.keys() == {1, 2}


def test_a_batch_begun_on_other_terms_is_refused_and_left_alone(tmp_path: Path) -> None:
    Ledger(tmp_path, TERMS).enter(DONE)
    before = (tmp_path / NAME).read_bytes()
    with pytest.raises(Unusable, match=r"begun with pack pack and not new.*name a new folder"):
        Ledger(tmp_path, replace(TERMS, pack="new"))
    assert (tmp_path / NAME).read_bytes() == before


def test_other_mail_under_a_done_part_is_refused(tmp_path: Path) -> None:
    ledger = Ledger(tmp_path, TERMS)
    ledger.enter(DONE)
    with pytest.raises(Unusable, match="part 1 was made of other mail"):
        ledger.has(1, "other", tmp_path / "part-000001.jsonl")


@pytest.mark.parametrize("spoilt", [None, b"", b"cut sh"], ids=["gone", "emptied", "cut short"])
def test_a_file_that_is_not_as_written_is_not_done(tmp_path: Path, spoilt: bytes | None) -> None:
    ledger, file = Ledger(tmp_path, TERMS), tmp_path / "part-000001.jsonl"
    ledger.enter(DONE)
    if spoilt is not None:
        file.write_bytes(spoilt)
    assert not ledger.has(1, "of", file)


def test_parts_without_a_ledger_are_not_written_over(tmp_path: Path) -> None:
    (tmp_path / "part-000001.jsonl").write_text("mine")
    with pytest.raises(Unusable, match=r"holds part-000001\.jsonl but no ledger"):
        Ledger(tmp_path, TERMS)


@pytest.mark.parametrize("line", ["[1]", "words", '{"pack": "p"}'])
def test_a_damaged_ledger_is_said(tmp_path: Path, line: str) -> None:
    (tmp_path / NAME).write_text(line + "\n")
    with pytest.raises(Unusable, match="damaged"):
        Ledger(tmp_path, TERMS)

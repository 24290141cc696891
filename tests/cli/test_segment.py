"""triage segment: a programme planned, wished for, printed, said and kept, by its commands."""

from __future__ import annotations

import shutil
from pathlib import Path

import pypdfium2
import pytest

from .conftest import Stocked, Triage
from .mailbox import mail

DAY = ("--date", "2026-11-26")
CLICKS = "My 2014 Tarvik Lark, 48 volt, clicks and will not move. What should I check?"
SMOKE = "There is smoke coming from under the seat of my Lark, it burns. What do I do?"
SEAT = "Can I fit a rear seat kit to my 2012 Ospren Ridge, and what do I have to watch?"


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("planned") / "planned.db"


@pytest.fixture(autouse=True)
def planned(stocked: Stocked, triage: Triage, store: Path, kept: Path) -> None:
    """Each test has its own copy of a store in which the day is planned."""
    if not kept.exists():
        stocked([mail(1, CLICKS), mail(2, SMOKE), mail(3, SEAT)])
        triage("segment", "plan", *DAY)
        shutil.copy(store, kept)
    shutil.copy(kept, store)


def on(triage: Triage) -> set[int]:
    return {one["thread"] for one in triage("segment", "show", *DAY, "--json").json["questions"]}


def test_the_plan_says_why(triage: Triage) -> None:
    page = triage("segment", "show", *DAY, "--all").out
    assert "Thursday 26 November 2026: 2 questions" in page
    assert "there is an answer to give" in page
    assert "danger reported (smoke, fire" in page
    assert on(triage) == {1, 3}


def test_locks_and_vetoes(triage: Triage) -> None:
    triage("segment", "veto", 3, "--why", "heard it", *DAY)
    triage("segment", "plan", *DAY)
    assert on(triage) == {1}
    assert "you took it out: heard it" in triage("segment", "show", *DAY, "--all").out
    triage("segment", "free", 3, *DAY)
    triage("segment", "lock", 3, *DAY)
    assert "you locked it" in triage("segment", "plan", *DAY).out
    triage("segment", "lock", 2, *DAY)
    refused = triage("segment", "plan", *DAY, code=1).err
    assert "question 2 must not be on: danger reported" in refused


@pytest.mark.parametrize(("name", "start"), [("s.pdf", b"%PDF-"), ("s.html", b"<!doctype"), ("s.txt", b"The Thursday")])
def test_the_sheet_in_each_form(triage: Triage, tmp_path: Path, name: str, start: bytes) -> None:
    said = triage("segment", "sheet", "--to", tmp_path / name, "--paper", "letter", *DAY).out
    assert "4 pages written" in said
    assert (tmp_path / name).read_bytes().startswith(start)


def test_the_paper_is_the_one_asked_for(triage: Triage, tmp_path: Path) -> None:
    triage("segment", "sheet", "--to", tmp_path / "s.pdf", "--paper", "letter", *DAY)
    document = pypdfium2.PdfDocument(tmp_path / "s.pdf")
    assert document[0].get_size() == (612.0, 792.0)
    document.close()


def test_what_was_said_is_kept_and_the_rest_carried_over(triage: Triage) -> None:
    triage("segment", "said", 1, "--how", "changed", "--note", "look at the cable first", "--seconds", "95", *DAY)
    assert "1 question said, 1 carried over" in triage("segment", "done", *DAY).out
    kept = triage("segment", "show", *DAY, "--json").json
    assert kept["aired"] is True
    assert {one["thread"]: one["how"] for one in kept["said"]} == {1: "changed", 3: "postponed"}
    assert "was on air and stays as it was" in triage("segment", "plan", *DAY, code=1).err
    (week,) = triage("segment", "weeks", "--json").json
    assert (week["date"], week["aired"], set(week["threads"])) == ("2026-11-26", True, {1, 3})
    following = triage("segment", "plan", "--date", "2026-12-03", "--json").json
    assert {one["thread"] for one in following["questions"]} == {3}


def test_a_first_name_is_said_after_a_yes_only(triage: Triage, tmp_path: Path) -> None:
    sheet = tmp_path / "s.txt"
    triage("segment", "sheet", "--to", sheet, *DAY)
    assert "A reader · Tarvik Lark" in sheet.read_text()
    triage("segment", "name-agreed", 1, "yes")
    first = next(one for one in triage("segment", "show", *DAY, "--json").json["questions"] if one["thread"] == 1)
    assert first["name"] != "a reader"
    assert first["question"].startswith(first["name"])


@pytest.mark.parametrize(
    ("arguments", "code", "says"),
    [
        (("plan", "--date", "Thursday"), 2, "'Thursday' is no date"),
        (("plan", "--minutes", "30", "--reserve", "30"), 2, "leaves nothing"),
        (("show", "--date", "2027-01-07"), 1, "no programme of 2027-01-07"),
        (("lock", "99", *DAY), 1, "no thread 99"),
        (("said", "99", *DAY), 1, "no thread 99"),
        (("sheet", "--to", "s.docx", *DAY), 1, "not '.docx'"),
        (("sheet", "--to", "s.pdf", "--paper", "a5", *DAY), 2, "'a5' is no paper known here"),
        (("name-agreed", "1", "perhaps"), 2, "neither yes nor no"),
    ],
)
def test_what_cannot_be_used_is_said_in_words(triage: Triage, arguments: tuple[str, ...], code: int, says: str) -> None:
    assert says in triage("segment", *arguments, code=code).err.replace("\n", " ")

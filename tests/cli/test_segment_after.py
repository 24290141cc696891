"""triage segment after the hour: drafts to those askers, a digest in which nobody is named, and the figures."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path
from xml.etree import ElementTree

import pytest

from triage.store import Store

from .conftest import Stocked, Triage
from .mailbox import mail

DAY = ("--date", "2026-11-26")
CLICKS = """Hello Wyn,

My 2014 Tarvik Lark, 48 volt, clicks and will not move. What should I check? My wife Orla says it is the solenoid.
I am at 14 Mill Lane, Harbury HX3 4TD; ring me on 555-0142 or write to ida.fen@post.example. Order no. 44213.

Cheers
Ida"""
SEAT = "Can I fit a rear seat kit to my 2012 Ospren Ridge, serial OR12-1140822, and what do I have to watch? Bram Oost"
OTHERWISE = (
    "Ida, look at the key switch first. Bram Oost of Mill Lane rang on 555-0199: it was that on his, order no. 51877."
)
PRIVATE = (
    *("Ida", "Fen", "Orla", "Bram", "Oost", "Mill Lane", "Harbury", "HX3", "0142", "0199", "post.example"),
    *("44213", "51877", "1140822"),
)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("after") / "aired.db"


@pytest.fixture(autouse=True)
def aired(stocked: Stocked, triage: Triage, store: Path, kept: Path) -> None:
    """Each test has its own copy of a store with an hour that is over: one said otherwise, one as on the sheet."""
    if not kept.exists():
        stocked([mail(1, CLICKS), mail(2, SEAT, sender="Bram Oost <bram@mail.example>")])
        triage("segment", "plan", *DAY)
        triage("segment", "said", 1, "--how", "changed", "--note", OTHERWISE, *DAY)
        triage("segment", "said", 2, *DAY)
        triage("segment", "done", *DAY)
        shutil.copy(store, kept)
    shutil.copy(kept, store)


def test_the_hour_that_was_on_air_last_is_followed_up_and_once_only(triage: Triage) -> None:
    page = triage("segment", "follow-up").out
    assert "2026-11-26: 2 drafts made; look at each before it goes out." in page
    assert "its draft tells of this hour already" in triage("segment", "follow-up").out
    assert "look at the key switch first" in triage("show", 1).out


def test_what_follows_as_json(triage: Triage) -> None:
    done = triage("segment", "follow-up", "--json").json
    drafts = [(one["thread"], one["how"], one["why_not"]) for one in done["drafts"]]
    assert sorted(drafts) == [(1, "changed", ""), (2, "said", "")]
    assert done["carried_over"] == []
    changed, said = sorted(done["material"], key=lambda one: int(one["thread"]))
    assert "look at the key switch first" in changed["changed"]
    assert said["said"]
    assert not [word for word in PRIVATE if word in str([changed, said])]


def test_an_answered_question_gets_no_draft(triage: Triage) -> None:
    triage("settle", 2, "it went on well")
    page = triage("segment", "follow-up").out
    assert "1 draft made" in page
    assert "thread 2: no draft" in page


@pytest.mark.parametrize(("name", "start"), [("hour.md", "# "), ("hour.html", "<!doctype html>")])
def test_nothing_private_is_left_in_the_digest(triage: Triage, tmp_path: Path, name: str, start: str) -> None:
    told = triage("segment", "digest", "--to", tmp_path / name).out
    text = (tmp_path / name).read_text()
    assert "2 questions written to" in told.replace("\n", " ")
    assert "Read it before you publish it." in told.replace("\n", " ")
    assert text.startswith(start)
    assert "look at the key switch first" in text
    assert [word for word in PRIVATE if word in text] == []


def test_who_agreed_to_be_named_on_air_is_not_named_in_the_digest(triage: Triage, tmp_path: Path) -> None:
    triage("segment", "name-agreed", 1, "yes")
    triage("segment", "digest", "--to", tmp_path / "hour.md")
    assert "Ida" not in (tmp_path / "hour.md").read_text()


def test_the_figures_are_pictures_that_stand_alone(triage: Triage, tmp_path: Path) -> None:
    folder = tmp_path / "new" / "figures"
    told = triage("segment", "figures", "--to", folder).out
    pictures = sorted(folder.glob("*.svg"))
    assert f"{len(pictures)} pictures written" in told
    assert len(pictures) >= 3
    for picture in pictures:
        root = ElementTree.fromstring(picture.read_text())
        assert root.tag.endswith("svg")
        assert "href" not in picture.read_text()


@pytest.mark.parametrize(
    ("arguments", "code", "says"),
    [
        (("digest", "--to", "hour.docx"), 1, "not '.docx'"),
        (("digest", "--to", "hour.md", "--date", "2027-01-07"), 1, "no programme of 2027-01-07"),
        (("follow-up", "--date", "2027-01-07"), 1, "no programme of 2027-01-07"),
        (("follow-up", "--date", "Thursday"), 2, "'Thursday' is no date"),
    ],
)
def test_what_cannot_be_used_is_said_in_words(triage: Triage, arguments: tuple[str, ...], code: int, says: str) -> None:
    assert says in triage("segment", *arguments, code=code).err.replace("\n", " ")


def test_figures_of_an_empty_queue_say_what_to_do(triage: Triage, store: Path, tmp_path: Path) -> None:
    store.unlink()
    with Store.open(store, now=lambda: datetime(2026, 11, 25, tzinfo=UTC)):
        pass
    refused = triage("segment", "figures", "--to", tmp_path / "none", code=1).err.replace("\n", " ")
    assert "Nothing was read yet" in refused
    assert not (tmp_path / "none").exists()

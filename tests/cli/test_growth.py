"""triage grow, by the commands an editor types."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from triage.cli.common import pack_folder
from triage.model import Address, Message, Question
from triage.store import Store

from .conftest import Triage

ASKED = "Which spark plug gap for my 2005 Hollin Tern? It is the petrol one."
REPLY = "Set the spark plug gap on the Tern to 0.7 mm. If the plug is sooty, clean the air filter first."


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    shutil.copytree(pack_folder(None) / "shop", tmp_path / "pack" / "shop")
    return tmp_path / "pack"


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """A queue with one question, answered by hand and settled."""
    path = tmp_path / "grown.db"
    with Store.open(path, now=lambda: datetime.now(UTC)) as queue:
        mail = Message("m1@post.example", "mail", Address("joan@post.example", "Joan Pike"), "gap", None, ASKED)
        taken = queue.take_in(mail, by="test", questions=[Question("m1#1", ASKED, message="m1@post.example")])
        assert taken.thread
        queue.record_reply(taken.thread, REPLY, by="Odile")
        queue.settle(taken.thread, by="Odile", outcome="runs")
    return path


def test_what_was_answered_is_looked_at_shown_reworded_and_taken(
    triage: Triage, store: Path, shop: Path, tmp_path: Path
) -> None:
    where = ("--store", str(store))  # the demo pack, whose engine all tests share; only what writes has its own
    assert "1 proposal new or added to; 1 listed." in triage("grow", "look", *where).out
    assert triage("grow", "look", *where, "--json").json[0]["kind"] == "new"
    shown = triage("grow", "show", "1", *where).out
    assert "reply, thread 1, reply 1, characters 0 to 45" in shown
    file = tmp_path / "better.md"
    triage("grow", "show", "1", "--to", str(file), *where)
    file.write_text(file.read_text().replace("0.7 mm", "0.7 to 0.8 mm"))
    assert triage("grow", "reword", "1", "--from", str(file), "--store", str(store), "--by", "Wyn").code == 0
    own = (*where, "--pack", str(shop))
    taken = triage("grow", "take", "1", *own, "--by", "Wyn")
    assert "written: " in taken.out
    (written,) = [path for path in (shop / "shop" / "answers").glob("*.md") if "0.7 to 0.8" in path.read_text()]
    assert "reviewed:" in written.read_text()
    assert triage("grow", "take", "1", *own, code=1).err.strip() == "triage: Proposal 1 is taken already."


def test_a_refusal_says_why_and_unknown_numbers_are_told(triage: Triage, store: Path) -> None:
    where = ("--store", str(store))
    triage("grow", "look", *where)
    assert triage("grow", "refuse", "1", "--why", "too rare", "--store", str(store)).out.startswith("Refused: ")
    assert triage("grow", "look", "--all", *where, "--json").json[0]["reason"] == "too rare"
    assert "There is no proposal 7." in triage("grow", "take", "7", *where, code=1).err


def test_a_broken_file_is_told_by_its_place_and_nothing_is_changed(triage: Triage, store: Path, tmp_path: Path) -> None:
    (tmp_path / "broken.md").write_text("---\nid: x\ntitel: Y\nquestion: Q?\n---\nText.\n")
    ran = triage("grow", "reword", "1", "--from", str(tmp_path / "broken.md"), "--store", str(store), code=1)
    assert "unknown key 'titel'" in ran.err


def test_causes_are_confirmed_seen_and_taken_back(triage: Triage, store: Path, shop: Path) -> None:
    where = ("--store", str(store), "--pack", str(shop))
    assert triage("grow", "confirm", "1", "fuel_filter", *where).code == 0
    (shift,) = triage("grow", "causes", "--pack", str(shop), "--json").json
    assert shift["now"] > shift["before"]
    triage("grow", "back", "1", *where)
    assert "No cause was confirmed yet" in triage("grow", "causes", "--pack", str(shop)).out
    assert not (shop / "shop" / "causes_seen.yaml").exists()


def test_topics_and_stale_answers_are_listed(triage: Triage, store: Path) -> None:
    where = ("--store", str(store))
    assert triage("grow", "topics", *where).out == "Nothing was asked twice without an answer.\n"
    every = triage("grow", "stale", "--all", *where, "--json").json
    assert {"answer", "uses", "helped", "stale"} <= every[0].keys()

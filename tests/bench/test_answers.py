"""The answer base at the workbench: looked at by everybody, decided by editors, and never half."""

from __future__ import annotations

import re
import shutil
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from httpx2 import Response
from starlette.testclient import TestClient

from triage.bench.app import create_app
from triage.bench.office import Office
from triage.bench.safety.passwords import hashed
from triage.bench.settings import Settings
from triage.growth.proposal import Kind, Line, Origin, Proposal, Said, State
from triage.pack import load
from triage.pipeline import Stages
from triage.store import Role

from .conftest import KNOWLEDGE
from .post import NOW

HAND = "Charge first, then fill. Wear gloves and keep sparks away. Fill each cell to 3 mm below the vent."


@pytest.fixture
def own(stages: Stages, queue: Path, tmp_path: Path) -> Office:
    """An office whose pack may be written to."""
    shutil.copytree(KNOWLEDGE / "shop", tmp_path / "pack" / "shop")
    pack = load(tmp_path / "pack")
    return Office(Settings(queue, pack.root, person="Una", read_new=False), replace(stages, pack=pack), lambda: NOW)


@pytest.fixture
def bench(own: Office) -> Iterator[TestClient]:
    with TestClient(create_app(own.settings, own), base_url="http://127.0.0.1") as made:
        yield made


def proposed(own: Office, kind: Kind = Kind.REWORDING) -> int:
    """A proposal that adds a sentence to an answer, said in thread 1."""
    old = own.stages.pack.answer("battery-watering")
    line = Line("Fill it monthly in summer.", (Said(Origin.REPLY, "Fill it monthly in summer.", 1, "reply 1"),))
    new = replace(old, text=f"{old.text}\n\n{line.text}")
    with own.store() as store:
        made = Proposal(0, kind, (old,), (new,), (line,), (1,), 2, ("Odile",), ("acid",), NOW.date(), reason="changed")
        return store.proposals.keep(made, by="triage")


def post(bench: TestClient, path: str, **fields: object) -> Response:
    found = re.search(r'name="csrf" value="([^"]+)"', bench.get("/sign-in").text)
    assert found
    origin = {"Origin": str(bench.base_url)}
    return bench.post(path, data={"csrf": found[1], **fields}, headers=origin, follow_redirects=False)


def test_the_list_shows_what_waits_and_opens_it(bench: TestClient, own: Office) -> None:
    number = proposed(own)
    shown = bench.get("/answers").text
    assert f'href="/answers/{number}"' in shown and "2 askers" in shown and "other words" in shown
    assert 'href="/answers"' in bench.get("/").text


def test_a_proposal_shows_the_difference_where_it_was_said_and_its_dangers(bench: TestClient, own: Office) -> None:
    shown = bench.get(f"/answers/{proposed(own)}").text
    assert "<ins>Fill it monthly in summer.</ins>" in shown
    assert '<a href="/question/1">question 1, reply 1</a>: Fill it monthly in summer.' in shown
    assert f"Dangers in it: {own.stages.pack.hazards['acid'].label}." in shown and "written by Odile" in shown


def test_a_sentence_at_odds_with_one_it_replaces_is_pointed_out(bench: TestClient, own: Office) -> None:
    old = own.stages.pack.answer("lithium-cutout-hills")
    words = "You may bridge the BMS."
    new = replace(old, text=old.text.replace("Never bridge the BMS.", words))
    assert new != old
    with own.store() as store:
        number = store.proposals.keep(Proposal(0, Kind.REWORDING, (old,), (new,), (Line(words),)), by="triage")
    shown = bench.get(f"/answers/{number}").text
    assert "Cannot both be right" in shown and "<dd>Never bridge the BMS.</dd>" in shown


def test_taking_it_writes_the_file_and_the_workbench_answers_from_it_at_once(bench: TestClient, own: Office) -> None:
    number = proposed(own)
    file = own.settings.pack / "shop" / "answers" / "battery-watering.md"
    before = file.read_text("utf-8")
    assert post(bench, f"/answers/{number}/take").status_code == 303
    assert "Fill it monthly in summer." in file.read_text("utf-8") and "Fill it monthly" not in before
    assert "Fill it monthly in summer." in own.stages.pack.answer("battery-watering").text
    assert "Taken into the base." in bench.get(f"/answers/{number}").text


def test_where_two_must_agree_the_first_only_agrees(bench: TestClient, own: Office) -> None:
    shop = own.settings.pack / "shop" / "shop.yaml"
    shop.write_text(shop.read_text("utf-8") + "two_for_hazards: true\n", "utf-8")
    own.grow(load(own.settings.pack))
    number = proposed(own)
    assert "Agree, as the first of two" in bench.get(f"/answers/{number}").text
    post(bench, f"/answers/{number}/take")
    shown = bench.get(f"/answers/{number}").text
    assert "Two people must agree; Una did." in shown
    assert "Fill it monthly" not in own.stages.pack.answer("battery-watering").text
    post(bench, f"/answers/{number}/take")  # the same person again is not a second one
    assert "Fill it monthly" not in own.stages.pack.answer("battery-watering").text


def test_refusing_needs_a_reason_and_keeps_it(bench: TestClient, own: Office) -> None:
    number = proposed(own)
    refused = post(bench, f"/answers/{number}/refuse", why=" ")
    assert refused.status_code == 422 and "Say why" in refused.text
    post(bench, f"/answers/{number}/refuse", why="it is for one asker only")
    assert "Refused: it is for one asker only" in bench.get(f"/answers/{number}").text


def test_rewording_keeps_the_editors_words(bench: TestClient, own: Office) -> None:
    number = proposed(own)
    fields = {"title": "Watering", "question": "When do I water?", "text": HAND}
    post(bench, f"/answers/{number}/reword", **fields)
    with own.store() as store:
        (after,) = store.proposals.get(number).after
    assert (after.title, after.question, after.text) == ("Watering", "When do I water?", HAND)
    empty = post(bench, f"/answers/{number}/reword", **(fields | {"text": ""}))
    assert empty.status_code == 422 and "needs a title" in empty.text


def test_a_new_answer_is_joined_with_one_of_the_base_or_parted(bench: TestClient, own: Office) -> None:
    new = replace(own.stages.pack.answer("battery-watering"), id="watering", title="Watering", text=HAND)
    with own.store() as store:
        numbers = [store.proposals.keep(Proposal(0, Kind.NEW, (), (new,)), by="triage") for _ in range(2)]
    post(bench, f"/answers/{numbers[0]}/merge", **{"with": "answer battery-hydrometer"})
    post(bench, f"/answers/{numbers[1]}/split", title="Gloves", sentence=["1"])
    with own.store() as store:
        joined, parted = (store.proposals.get(number) for number in numbers)
    assert joined.kind is Kind.MERGE and joined.answer == "battery-hydrometer"
    assert parted.kind is Kind.SPLIT and [a.title for a in parted.after] == ["Watering", "Gloves"]
    assert "Wear gloves" in parted.after[1].text and "Wear gloves" not in parted.after[0].text
    odd = post(bench, f"/answers/{numbers[0]}/merge", **{"with": "something"})
    assert odd.status_code == 422 and "Choose what to join it with." in odd.text


def test_the_effect_is_worked_out_beside_the_page(bench: TestClient, own: Office) -> None:
    with own.store() as store:
        store.record_reply(1, "Charge it first. " * 8, by="Una")
    number = proposed(own)
    assert 'id="effect"' in bench.get(f"/answers/{number}").text
    shown = _until(lambda: bench.get(f"/answers/{number}/effect").text, "read again:")
    assert "question" in shown and "0 worse" in shown


def _until(look: Callable[[], str], words: str) -> str:
    for _ in range(200):
        text = look()
        if words in text:
            return text
        time.sleep(0.05)
    raise AssertionError(f"'{words}' never came: {text}")


def test_what_is_asked_in_vain_and_what_is_stale_comes_after(bench: TestClient) -> None:
    assert 'hx-get="/answers/lacking"' in bench.get("/answers").text
    assert "Asked without a good answer" in bench.get("/answers/lacking").text


@pytest.fixture
def outside(own: Office) -> Iterator[TestClient]:
    """Reached from another machine by somebody who answers mail, and is no editor."""
    settings = replace(own.settings, host="0.0.0.0", host_names=("bench.example",))
    with own.store() as store:
        store.staff.add("Tam", Role.STAFF, hashed("seven wet spanners"), by="test")
    with TestClient(create_app(settings, replace(own, settings=settings)), base_url="http://bench.example") as made:
        post(made, "/sign-in", name="Tam", password="seven wet spanners")
        yield made


def test_only_an_editor_decides(own: Office, outside: TestClient) -> None:
    number = proposed(own)
    shown = outside.get(f"/answers/{number}").text
    assert "Fill it monthly in summer." in shown and "Take it into the base" not in shown
    for act in ("take", "refuse", "reword", "merge", "split"):
        assert post(outside, f"/answers/{number}/{act}", why="no").status_code == 403
    with own.store() as store:
        assert store.proposals.get(number).state is State.WAITING


def test_a_number_there_is_not_is_a_plain_page(bench: TestClient) -> None:
    gone = bench.get("/answers/99")
    assert gone.status_code == 404 and "There is no proposal 99" in gone.text


def test_a_wording_of_an_asker_is_shown_as_text(bench: TestClient, own: Office) -> None:
    old = own.stages.pack.answer("battery-watering")
    line = Line("<script>alert(1)</script> water?", (Said(Origin.ASKED, "<script>alert(1)</script>", 1),))
    with own.store() as store:
        changed = replace(old, variants=[*old.variants, line.text])
        number = store.proposals.keep(Proposal(0, Kind.VARIANT, (old,), (changed,), (line,)), by="triage")
    shown = bench.get(f"/answers/{number}").text
    assert "<script>alert" not in shown and "&lt;script&gt;alert" in shown

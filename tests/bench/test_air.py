"""The live hour on a programme of the demo mailbox: driven by keys in a real browser, and its presses in the store."""

from __future__ import annotations

import re
import shutil
import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from triage import producer
from triage.bench.air.running import pressed
from triage.bench.app import create_app
from triage.bench.office import Office
from triage.desk import read_open, take_in
from triage.intake import read_source
from triage.pipeline import Stages
from triage.segment.live import Press
from triage.segment.programme import Programme, Spoken
from triage.store import Store

from .conftest import Serve
from .post import NOW

DEMO = Path(__file__).parents[2] / "corpus_demo" / "inbox.mbox"
DAY = date(2026, 11, 26)
MAILS = 14
AXE = (Path(__file__).parent / "vendor" / "axe-4.14.1.min.js").read_text()
RUN = """async () => (await axe.run(document, {resultTypes: ['violations']})).violations
    .filter(one => ['serious', 'critical'].includes(one.impact)).map(one => `${one.id}: ${one.help}`)"""


@pytest.fixture(scope="module")
def planned(stages: Stages, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The first mails of the demo mailbox, read, with a programme; copied for each test."""
    path = tmp_path_factory.mktemp("air") / "planned.db"
    with Store.open(path, now=lambda: NOW) as store:
        take_in([mail for _, mail in zip(range(MAILS), read_source(DEMO), strict=False)], store, stages.pack)
        list(read_open(store, stages))
        made = producer.plan(store, stages.pack, DAY, by="Wyn", minutes=15)
    assert len(made.slots) >= 3
    return path


@pytest.fixture
def office(planned: Path, tmp_path: Path, office: Office) -> Office:
    store = Path(shutil.copy(planned, tmp_path / "air.db"))
    return replace(office, settings=replace(office.settings, store=store))


@pytest.fixture
def client(office: Office) -> Iterator[TestClient]:
    with TestClient(create_app(office.settings, office), base_url="http://127.0.0.1") as made:
        yield made


@pytest.fixture
def programme(office: Office) -> Programme:
    with office.store() as store:
        return store.programmes.get(DAY)


def notes(office: Office) -> dict[int, Any]:
    with office.store() as store:
        return {note.thread: note for note in store.programmes.said(DAY)}


def post(client: TestClient, path: str, **fields: str) -> Any:
    token = re.search(r'name="csrf" value="([^"]+)"', client.get(f"/air/{DAY}").text)
    assert token
    return client.post(f"/air/{DAY}/{path}", data={**fields, "csrf": token[1]})


# Without a screen


def test_the_page_holds_the_whole_hour_so_that_it_works_without_the_workbench(client, programme):
    text = client.get("/air").text
    assert all(f'id="item-{slot.candidate.thread}"' in text for slot in programme.slots)
    assert not re.search(r'(?:src|href)="(?:https?:)?//', text)


def test_a_browser_whose_clock_is_an_hour_slow_is_not_told_to_hurry(client, programme):
    first, slow = str(programme.slots[0].candidate.thread), NOW.timestamp() - 3600
    for after, kind in ((0, "begin"), (20, "turn")):
        told = {"now": str(slow + after), "clock": str(slow + after), "script": "1"}
        state = post(client, "press", kind=kind, place=first, **told).json()
    assert not state["drop"]


def test_a_press_by_a_form_is_in_the_store_before_the_answer(client, office, programme):
    first = programme.slots[0].candidate.thread
    assert post(client, "press", kind="begin").status_code == 200
    post(client, "press", kind="turn", place=str(first))
    post(client, "press", kind="note", place=str(first), how="changed", text="The fuse first.")
    assert (notes(office)[first].how, notes(office)[first].note) == (Spoken.CHANGED, "The fuse first.")


def test_a_press_sent_twice_counts_once(office, programme):
    first = programme.slots[0].candidate.thread
    press = Press("one", "note", 1000.0, str(first), Spoken.SAID)
    with office.store() as store:
        once = pressed(store, programme, press, by="Wyn")
        assert pressed(store, programme, press, by="Wyn") == once
        history = [entry for entry in store.history(first) if entry.after.get("on air")]
    assert len(history) == 1


@pytest.mark.parametrize(("kind", "how"), [("fly", "said"), ("note", "sung")])
def test_what_no_page_sends_is_refused(client, kind, how):
    assert post(client, "press", kind=kind, how=how, place="1").status_code == 422


def test_an_hour_that_is_over_takes_no_more_presses(client, office, programme):
    post(client, "over")
    answer = post_over_again(client, programme)
    assert answer.status_code == 409 or "stays as it was" in answer.text
    assert "stays as it was" in client.get(f"/air/{DAY}").text


def post_over_again(client: TestClient, programme: Programme) -> Any:
    token = re.search(r'name="csrf" value="([^"]+)"', client.get(f"/air/{DAY}").text)
    place = str(programme.slots[0].candidate.thread)
    data = {"kind": "note", "place": place, "how": "said", "csrf": token[1] if token else ""}
    return client.post(f"/air/{DAY}/press", data=data)


@pytest.mark.parametrize("path", ["/air/tomorrow", "/air/2031-01-01"])
def test_a_day_without_a_programme_is_not_there(client, path):
    assert client.get(path).status_code == 404


def test_a_live_question_is_kept_and_read(client, office):
    page = post(client, "ask", text="Smoke came from under the seat of my Lark just now. What do I do?").text
    assert "Do not advise on this in public" in page
    assert "Smoke came from under the seat" in notes(office)[0].words


def test_the_figures_are_drawn_with_their_words(client):
    page = client.get("/air/figures").text
    assert page.count("<svg") >= 3
    assert 'aria-label="Questions by week: ' in page


def test_who_may_only_look_changes_nothing():
    from triage.bench.safety.roles import may_change

    assert may_change("host", "/air/2026-11-26/press")
    assert not may_change("staff", "/air/2026-11-26/press")


# In a browser, by keys


def open_hour(browser: Any, url: str, **more: Any) -> Any:
    page = browser.new_page(**{"viewport": {"width": 1280, "height": 800}, **more})
    page.goto(f"{url}/air")
    page.wait_for_selector("#air-begin:not([hidden])")
    return page


def here(page: Any) -> str:
    return str(page.eval_on_selector(".air-item:not([hidden])", "one => one.dataset.place"))


def until(holds: Any, seconds: float = 10) -> None:
    give_up = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < give_up, "it did not come about"
        time.sleep(0.05)


def ask_live(page: Any, words: str) -> float:
    """Seconds from Enter until the answer stands there."""
    page.evaluate("document.getElementById('air-live').replaceChildren()")
    page.keyboard.press("l")
    page.keyboard.type(words)
    asked = time.perf_counter()
    page.keyboard.press("Enter")
    page.wait_for_selector("#air-heard")
    return time.perf_counter() - asked


def test_an_hour_by_keyboard_from_begin_to_end(browser, serve: Serve, office, programme):
    served = serve(office)
    first, second, third = (slot.candidate.thread for slot in programme.slots[:3])
    page = open_hour(browser, served.url)
    page.keyboard.press("g")
    page.keyboard.press("Space")
    assert here(page) == str(first)
    page.keyboard.press("s")
    assert here(page) == str(second)
    page.keyboard.press("c")
    page.keyboard.type("We said: the earth lead first.")
    page.keyboard.press("Enter")
    page.keyboard.press("b")
    page.keyboard.type("Which year is it?")
    page.keyboard.press("Enter")
    until(lambda: len(notes(office)) == 3)
    kept = notes(office)
    assert [kept[one].how for one in (first, second, third)] == [Spoken.SAID, Spoken.CHANGED, Spoken.ASKED_BACK]
    assert kept[second].note == "We said: the earth lead first."

    took = [ask_live(page, "My 2012 Lark clicks but will not move, what is it?") for _ in range(3)]
    assert min(took) < 1.0  # of three: another program may want the processor just then
    assert here(page) == "live"
    page.keyboard.press("w")  # elsewhere it leads away from the page
    assert "/air/" in page.url

    page.reload()  # nothing is lost
    page.wait_for_selector("#item-live:not([hidden])")
    assert page.inner_text(f'[data-noted="{second}"]') == "said otherwise"
    page.close()


def test_the_hour_goes_on_without_the_workbench_and_is_written_when_it_is_back(
    browser, serve: Serve, office, programme
):
    served = serve(office)
    port = int(served.url.rpartition(":")[2])
    first, second = (slot.candidate.thread for slot in programme.slots[:2])
    page = open_hour(browser, served.url)
    page.keyboard.press("g")
    page.keyboard.press("Space")
    until(lambda: here(page) == str(first))
    page.wait_for_timeout(300)
    served.stop()
    page.keyboard.press("s")
    page.wait_for_selector("#air-kept:not([hidden])")
    assert here(page) == str(second)
    page.keyboard.press("p")
    assert notes(office) == {}
    serve(office, port)
    until(lambda: set(notes(office)) == {first, second})
    assert notes(office)[second].how is Spoken.POSTPONED
    page.wait_for_selector("#air-kept", state="hidden")
    page.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("width", "height"), [(1280, 800), (800, 1280), (360, 740)])
def test_nothing_stands_in_the_way_of_anybody(browser, serve: Serve, office, scheme, width, height):
    page = open_hour(browser, serve(office).url, viewport={"width": width, "height": height}, color_scheme=scheme)
    page.keyboard.press("Space")
    page.keyboard.press("Space")
    page.evaluate(AXE)
    assert page.evaluate(RUN) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.goto(page.url.rpartition("/")[0] + "/figures")
    page.evaluate(AXE)
    assert page.evaluate(RUN) == []
    page.close()

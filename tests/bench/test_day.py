"""The day's work in a real browser: by keyboard, by two people at once, and over a restart."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from triage.desk import read_open, take_in
from triage.store import ThreadState

from .conftest import Serve, Served
from .post import message

playwright = pytest.importorskip("playwright.sync_api")
Browser, Page, expect = playwright.Browser, playwright.Page, playwright.expect


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A fresh window; whatever its console complains of fails the test."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    opened = context.new_page()
    complaints: list[str] = []
    opened.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
    opened.on("pageerror", lambda error: complaints.append(str(error)))
    yield opened
    context.close()
    expected = ("Failed to load resource", "htmx:")  # told to the person on the page
    assert not [text for text in complaints if not any(one in text for one in expected)]


def test_a_question_is_cleared_by_keyboard_alone(page: Page, served: Served) -> None:
    page.goto(served.url)
    page.keyboard.press("j")
    expect(page.locator(".rows a").first).to_be_focused()
    page.keyboard.press("ArrowDown")
    expect(page.locator(".rows a").nth(1)).to_be_focused()
    page.keyboard.press("k")
    page.keyboard.press("Enter")
    page.wait_for_selector("#letter")
    number = int(page.locator("#card").get_attribute("data-thread"))
    page.keyboard.press("e")
    expect(page.locator("#letter textarea").first).to_be_focused()
    page.keyboard.press("End")
    page.keyboard.type(" How are you?")
    page.keyboard.press("Control+Enter")
    expect(page.locator("#said")).to_have_text("Kept.")
    page.keyboard.press("Escape")
    page.keyboard.press("o")
    expect(page.locator("#gone")).to_be_focused()
    page.keyboard.press("Enter")
    page.wait_for_url("**?after=*")
    with served.office.store() as store:
        thread = store.thread(number)
    assert "How are you?" in thread.replies[0].text
    assert thread.state in (ThreadState.REPLIED, ThreadState.WAITING_FOR_ASKER)


def test_a_fact_denied_in_the_words_is_read_again_at_once(page: Page, served: Served) -> None:
    page.goto(f"{served.url}/question/1")
    page.keyboard.press("m")
    page.locator("a.mark", has_text="48").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#fact-value")).to_be_focused()
    page.locator("#fact-value").fill("36")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text("Read again")
    expect(page.locator(".known")).to_contain_text("36 V")
    with served.office.store() as store:
        assert [(fact.name, fact.value) for fact in store.thread(1).facts] == [("pack_voltage", 36)]


def test_a_wrong_value_is_told_at_its_field_and_nothing_is_lost(page: Page, served: Served) -> None:
    page.goto(f"{served.url}/question/1")
    page.locator("#bnew").fill("Half a thought")
    page.locator("a.mark", has_text="48").click()
    page.locator("#fact-value").fill("banana")
    page.get_by_role("button", name="It is this").click()
    expect(page.locator("#fact-wrong")).to_contain_text("not a number")
    page.keyboard.press("Escape")
    expect(page.locator("#bnew")).to_have_value("Half a thought")


def test_two_people_at_one_question_lose_no_word(browser: Browser, served: Served) -> None:
    """Each changes another paragraph of the same version: the second is shown both and keeps the two together."""
    one, two = browser.new_page(), browser.new_page()
    for page in (one, two):
        page.goto(f"{served.url}/question/1")
    one.locator("#letter textarea").first.fill("Dear Ida, from Bram,")
    one.keyboard.press("Control+Enter")
    expect(one.locator("#said")).to_have_text("Kept.")
    two.locator("#bnew").fill("A last word from Wyn.")
    two.keyboard.press("Control+Enter")
    expect(two.locator("h1")).to_have_text("Two people wrote this reply")
    two.locator("#keep").click()
    expect(two.locator("#said")).to_have_text("Kept.")
    with served.office.store() as store:
        body = store.thread(1).drafts[-1].draft.body
    assert "Dear Ida, from Bram," in body
    assert "A last word from Wyn." in body
    one.close()
    two.close()


def test_new_mail_shows_by_itself_and_focus_stays(page: Page, served: Served) -> None:
    page.goto(served.url)
    page.keyboard.press("j")
    focused = page.evaluate("document.activeElement.id")
    with served.office.store() as store:
        take_in([message(40, "Zed Quill", "late", "My 2012 Lark smokes!")], store, served.office.stages.pack)
        list(read_open(store, served.office.stages))
    expect(page.locator("#rows")).to_contain_text("Zed Quill", timeout=10_000)
    assert page.evaluate("document.activeElement.id") == focused


def test_a_restart_loses_nothing_typed(page: Page, serve: Serve, served: Served) -> None:
    page.goto(f"{served.url}/question/1")
    page.locator("#bnew").fill("Typed before the lights went out.")
    port = served.office.settings.port
    served.stop()
    page.keyboard.press("Control+Enter")
    expect(page.locator("#trouble")).to_contain_text("What you typed is still here")
    page.get_by_role("button", name="Back to the page").click()
    expect(page.locator("#bnew")).to_have_value("Typed before the lights went out.")
    again = serve(served.office, port)
    page.locator("#bnew").press("Control+Enter")
    expect(page.locator("#said")).to_have_text("Kept.")
    with again.office.store() as store:
        assert "Typed before the lights went out." in store.thread(1).drafts[-1].draft.body


def test_saving_as_a_mail_takes_along_what_was_just_typed(page: Page, served: Served) -> None:
    page.goto(f"{served.url}/question/1")
    page.locator("#bnew").fill("Typed a moment ago.")
    page.keyboard.press("Escape")
    with page.expect_download() as saving:
        page.keyboard.press("s")
    with open(saving.value.path(), "rb") as file:
        assert b"Typed a moment ago." in file.read()


@pytest.mark.parametrize("width", [360, 768, 1280, 1920])
def test_no_page_is_wider_than_its_window(page: Page, served: Served, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    for path in ("/", "/question/2", "/question/8", "/question/1/fact?name=year&value=2012", "/nowhere"):
        page.goto(served.url + path)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path


def test_a_refusal_is_told_over_the_page_and_words_stay(page: Page, served: Served) -> None:
    page.goto(f"{served.url}/question/3")
    page.locator("#bnew").fill("Not lost.")
    with served.office.store() as store:
        store.record_reply(3, "Done already.", by="Bram")
    page.locator("#gone").click()
    expect(page.locator("#trouble")).to_contain_text("Bram has replied to thread 3 meanwhile")
    page.get_by_role("button", name="Back to the page").click()
    expect(page.locator("#bnew")).to_have_value("Not lost.")

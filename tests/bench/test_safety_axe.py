"""Every page under axe-core 4.14.1 in a real browser: light, dark, 360 px wide; nothing serious or critical."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from triage.bench.office import Office

from .conftest import Serve

AXE = (Path(__file__).parent / "vendor" / "axe-4.14.1.min.js").read_text()
RUN = """async () => (await axe.run(document, {resultTypes: ['violations']})).violations
    .filter(one => ['serious', 'critical'].includes(one.impact))
    .map(one => `${one.id}: ${one.help}: ${one.nodes.map(node => node.target.join(' ')).slice(0, 4).join('; ')}`)"""
SCREENS: dict[str, dict[str, Any]] = {
    "light": {"color_scheme": "light", "viewport": {"width": 1300, "height": 900}},
    "dark": {"color_scheme": "dark", "viewport": {"width": 1300, "height": 900}},
    "phone": {"color_scheme": "light", "viewport": {"width": 360, "height": 740}},
    "dark-phone": {"color_scheme": "dark", "viewport": {"width": 360, "height": 740}},
}
Act = Callable[[Any], None]


def nothing(page: Any) -> None:
    """The page as it comes."""


def keys(page: Any) -> None:
    page.keyboard.press("?")
    page.wait_for_selector("#keys[open]")


def fact_box(page: Any) -> None:
    page.locator("a.mark").first.click()
    page.wait_for_selector("#fact form")


def unfolded(page: Any) -> None:
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")


def old_page(page: Any) -> None:
    """A form without its token."""
    page.eval_on_selector_all("input[name=csrf]", "all => all.forEach(one => one.remove())")
    page.fill("#name", "Bea")
    page.click("main button")
    page.wait_for_selector("text=That page is too old")


PAGES: dict[str, tuple[str, Act]] = {
    "waiting": ("/", nothing),
    "waiting-keys": ("/", keys),
    "found": ("/?find=lark", nothing),
    "nothing-found": ("/?find=zeppelin", nothing),
    "danger": ("/question/2", nothing),
    "question": ("/question/1", unfolded),
    "two-questions": ("/question/8", unfolded),
    "fact-in-a-box": ("/question/1", fact_box),
    "fact": ("/question/1/fact?name=pack_voltage", nothing),
    "add-a-fact": ("/question/1/fact", nothing),
    "versions": ("/question/1/reply/versions?one=1&two=1", nothing),
    "sheets": ("/sheets", nothing),
    "sheets-for-a-question": ("/sheets?thread=3", nothing),
    "sheet-empty": ("/sheets/cable-drop", nothing),
    "sheet-curve": ("/sheets/state-of-charge?volts=37.35&nominal=36", unfolded),
    "sheet-long": ("/sheets/change?tyre_new=22+in&question=3", nothing),
    "sheet-wrong": ("/sheets/state-of-charge?volts=lots&nominal=", nothing),
    "name": ("/sign-in", nothing),
    "refused": ("/sign-in", old_page),
    "not-there": ("/nothing", nothing),
    "no-such-question": ("/question/4711", nothing),
}


@pytest.fixture(params=SCREENS)
def screen(request: pytest.FixtureRequest, browser: Any) -> Iterator[Any]:
    context = browser.new_context(**SCREENS[request.param])
    yield context.new_page()
    context.close()


def findings(page: Any) -> list[str]:
    page.evaluate(AXE)
    found: list[str] = page.evaluate(RUN)
    return found


@pytest.mark.parametrize("name", PAGES)
def test_a_page_has_no_serious_finding_and_fits_the_screen(
    screen: Any, serve: Serve, office: Office, name: str
) -> None:
    path, act = PAGES[name]
    screen.goto(serve(office).url + path, wait_until="networkidle")
    act(screen)
    assert findings(screen) == []
    width = screen.viewport_size["width"]
    assert screen.evaluate("document.scrollingElement.scrollWidth") <= width


def test_the_door_with_a_password_has_none_either(screen: Any, serve: Serve, office: Office) -> None:
    settings = replace(office.settings, host_names=("bench.example",))
    screen.goto(serve(replace(office, settings=settings)).url, wait_until="networkidle")
    assert "/sign-in?to=" in screen.url
    assert findings(screen) == []
    screen.fill("#name", "Nobody")
    screen.fill("#password", "not the one")
    screen.click("main button")
    screen.wait_for_selector("#wrong")
    assert findings(screen) == []


def test_the_check_finds_what_is_wrong(browser: Any) -> None:
    page = browser.new_page()
    page.set_content("<html><body><img src='x.png'><button></button></body></html>")
    assert {line.partition(":")[0] for line in findings(page)} >= {"image-alt", "button-name", "html-has-lang"}
    page.close()

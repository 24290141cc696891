"""Forty mails that mean harm, taken in as they came, and every page that shows them looked at in a real browser.

No request leaves, no script of theirs runs, nothing of theirs becomes a part of the page.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from email import policy
from email.parser import BytesParser
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from triage.bench.app import create_app
from triage.bench.office import Office
from triage.bench.safety.attachments import safe_name
from triage.bench.safety.shown import plainly
from triage.bench.settings import Settings
from triage.desk import read_open, take_in
from triage.intake import parse_message
from triage.pipeline import Stages
from triage.store import EVERY, Filters, Store

from .conftest import KNOWLEDGE, Serve
from .post import NOW
from .safety_mails import ATTACHED, MAILS


@pytest.fixture(scope="module")
def poisoned(stages: Stages, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("poisoned") / "queue.db"
    with Store.open(path, now=lambda: NOW) as store:
        tally = take_in((parse_message(raw) for raw in MAILS.values()), store, stages.pack)
        assert tally.new == len(MAILS) == 40
        assert len(list(read_open(store, stages))) == len(MAILS)
    return path


@pytest.fixture(scope="module")
def numbers(poisoned: Path) -> dict[str, int]:
    """Thread of each mail, by its name."""
    with Store.open(poisoned, now=lambda: NOW) as store:
        rows = store.queue(Filters(states=EVERY, limit=100))
    return {row.asker.email.partition("@")[0]: row.thread for row in rows}


@pytest.fixture
def shop(poisoned: Path, stages: Stages, tmp_path: Path) -> Office:
    path = shutil.copy(poisoned, tmp_path / "queue.db")
    return Office(Settings(path, KNOWLEDGE, person="Wyn", read_new=False), stages, lambda: NOW)


@dataclass
class Watched:
    """A page of a real browser, and all that it should not do."""

    page: Any
    url: str
    left: list[str] = field(default_factory=list)  # requests to elsewhere
    said: list[str] = field(default_factory=list)  # dialogs, errors, breaches of the policy


@pytest.fixture
def watched(browser: Any, serve: Serve, shop: Office) -> Iterator[Watched]:
    served = serve(shop)
    context = browser.new_context(accept_downloads=False)
    made = Watched(context.new_page(), served.url)

    def asked(request: Any) -> None:
        if not request.url.startswith((served.url, "blob:", "data:")) or request.url.startswith("data:"):
            made.left.append(request.url)

    def dialog(box: Any) -> None:
        if box.type != "beforeunload":
            made.said.append(f"dialog: {box.message}")
        box.accept()

    made.page.on("request", asked)
    made.page.on("dialog", dialog)
    made.page.on("pageerror", lambda error: made.said.append(f"error: {error}"))
    made.page.on("console", lambda told: made.said.append(told.text) if told.type in ("error", "warning") else None)
    yield made
    context.close()


def inspect(watched: Watched) -> None:
    """What the page is made of: our own scripts and styles, our own addresses, nothing hostile."""
    page = watched.page
    assert page.evaluate("window.hostile") is None
    assert page.evaluate("document.querySelectorAll('body > main, body > dialog').length") == 2
    sources = page.eval_on_selector_all("script", "all => all.map(one => one.getAttribute('src'))")
    assert sources
    assert all(source and source.startswith("/static/") for source in sources)
    main = page.eval_on_selector_all("main *", "all => all.map(one => one.localName)")
    assert not {"script", "iframe", "object", "embed", "img", "video", "audio", "base", "style", "math"} & set(main)
    handlers = (
        "all => all.flatMap(one => one.getAttributeNames()).filter(name => name.startsWith('on') || name == 'style')"
    )
    assert page.eval_on_selector_all("*", handlers) == []
    names = ("src", "href", "action", "formaction", "hx-get", "hx-post")
    for name in names:
        found = page.eval_on_selector_all(f"[{name}]", f"all => all.map(one => one.getAttribute('{name}'))")
        assert all(value.startswith(("/", "#")) and not value.startswith("//") for value in found), (name, found)
    assert watched.left == []
    assert watched.said == []


@pytest.mark.parametrize("name", MAILS)
def test_the_page_of_a_question_shows_it_as_words_only(watched: Watched, numbers: dict[str, int], name: str) -> None:
    page = watched.page
    page.goto(f"{watched.url}/question/{numbers[name]}", wait_until="networkidle")
    inspect(watched)
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    mark = page.locator("a.mark").first
    if mark.count():
        mark.click()
        page.wait_for_selector("#fact form")
        inspect(watched)
        page.keyboard.press("Escape")
    page.goto(f"{watched.url}/sheets/tyre?question={numbers[name]}", wait_until="networkidle")
    inspect(watched)


@pytest.mark.parametrize("find", ["", "?find=lark", "?find=%3Cscript%3Ealert(1)%3C/script%3E", "?find=hostile%3D1"])
def test_the_list_shows_all_of_them_as_words_only(watched: Watched, find: str) -> None:
    watched.page.goto(f"{watched.url}/{find}", wait_until="networkidle")
    inspect(watched)


@pytest.mark.parametrize("name", ["plain-script", "attribute-break", "markup-in-fact", "header-break"])
def test_a_reply_that_quotes_them_can_be_kept_and_compared(
    watched: Watched, numbers: dict[str, int], name: str
) -> None:
    page, number = watched.page, numbers[name]
    hostile = "</textarea><script>window.hostile=1</script><img src=x onerror=alert(1)>"
    for words in (hostile, hostile + " again"):
        page.goto(f"{watched.url}/question/{number}", wait_until="networkidle")
        page.fill("#bnew", words)
        page.click("#keep")
        page.wait_for_load_state("networkidle")
    page.goto(f"{watched.url}/question/{number}", wait_until="networkidle")
    assert hostile in page.eval_on_selector_all("#letter textarea", "all => all.map(one => one.value).join(' ')")
    inspect(watched)
    page.goto(f"{watched.url}/question/{number}/reply/versions?one=1&two=2", wait_until="networkidle")
    inspect(watched)


def test_text_that_turns_around_is_shown_as_what_it_is(watched: Watched, numbers: dict[str, int]) -> None:
    for path in (f"/question/{numbers['turned-around']}", f"/question/{numbers['header-turned']}", "/"):
        watched.page.goto(watched.url + path, wait_until="networkidle")
        text = watched.page.inner_text("body")
        assert not any(mark in text for mark in "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
    inspect(watched)


def test_words_of_languages_written_from_the_right_stay() -> None:
    assert plainly("עגלה 48 V عربة") == "עגלה 48 V عربة"
    assert plainly("a\u202eb") == "a\ufffdb"
    assert plainly(48) == 48


@pytest.fixture
def visitor(shop: Office) -> Iterator[TestClient]:
    with TestClient(create_app(shop.settings, shop), base_url="http://localhost") as made:
        yield made


@pytest.mark.parametrize("name", ["header-injection", "header-turned", "plain-script"])
def test_no_header_line_of_theirs_gets_into_the_reply(visitor: TestClient, numbers: dict[str, int], name: str) -> None:
    answer = visitor.get(f"/question/{numbers[name]}/reply.eml")
    assert answer.headers["content-disposition"].startswith("attachment;")
    reply = BytesParser(policy=policy.default).parsebytes(answer.content)
    assert {"bcc", "cc"}.isdisjoint(key.lower() for key in reply)
    assert len(reply["to"].addresses) == 1
    assert reply.get_content_type() == "text/plain"


def test_an_address_that_is_none_is_said_and_not_written_to(visitor: TestClient, numbers: dict[str, int]) -> None:
    answer = visitor.get(f"/question/{numbers['header-break']}/reply.eml")
    assert answer.status_code == 409
    assert "is not an address that mail can go to" in answer.text


def test_the_question_page_hands_out_what_came_with_the_mail(visitor: TestClient, numbers: dict[str, int]) -> None:
    thread = numbers["attachments"]
    shown = visitor.get(f"/question/{thread}").text
    places = [f'href="/attachment/{thread}/1/{place}" download' for place in range(1, len(ATTACHED) + 1)]
    assert [place for place in places if place not in shown] == []


@pytest.mark.parametrize("place", range(1, len(ATTACHED) + 1))
def test_an_attachment_is_a_download_and_never_a_page(visitor: TestClient, numbers: dict[str, int], place: int) -> None:
    answer = visitor.get(f"/attachment/{numbers['attachments']}/1/{place}")
    assert answer.status_code == 200
    assert answer.content == ATTACHED[place - 1][2]
    assert answer.headers["content-type"] == "application/octet-stream"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["content-security-policy"] == "default-src 'none'; sandbox"
    assert answer.headers["content-disposition"].startswith("attachment; filename=")
    assert "set-cookie" not in answer.headers or "x=1" not in answer.headers["set-cookie"]


@pytest.mark.parametrize(
    ("given", "name"),
    [
        ("plate.jpg", "plate.jpg"),
        ("Plate 1 (left).JPG", "Plate 1 (left).JPG"),
        ("page.html", "page.html.unopened"),
        ("run me.exe", "run me.exe.unopened"),
        ("invoice\u202egpj.exe", "invoice_gpj.exe.unopened"),
        ("exe.\u202egpj", "exe._gpj.unopened"),
        ("../../etc/cron.d/x.html", "x.html.unopened"),
        ("..\\..\\x.jpg", "x.jpg"),
        ('a"; filename="b.html', "a__ filename=_b.html.unopened"),
        ("a\r\nSet-Cookie: x.jpg", "a__Set-Cookie_ x.jpg"),
        (".htaccess", "htaccess.unopened"),
        ("...", "attachment.unopened"),
        ("", "attachment.unopened"),
        ("x" * 300 + ".jpg", "x" * 100 + ".jpg"),
        ("schönes bild.png", "schönes bild.png"),
    ],
)
def test_a_file_name_is_made_harmless(given: str, name: str) -> None:
    assert safe_name(given) == name


@pytest.mark.parametrize(
    "path", ["/attachment/{}/1/99", "/attachment/{}/2/1", "/attachment/{}/0/1", "/attachment/9999/1/1"]
)
def test_what_was_not_attached_is_not_found(visitor: TestClient, numbers: dict[str, int], path: str) -> None:
    assert visitor.get(path.format(numbers["attachments"])).status_code == 404


def test_a_packed_file_is_passed_on_packed(visitor: TestClient, numbers: dict[str, int]) -> None:
    answer = visitor.get(f"/attachment/{numbers['zip-bomb']}/1/1")
    assert 100_000 < len(answer.content) < 400_000
    assert len(visitor.get(f"/question/{numbers['zip-bomb']}").content) < 100_000


@pytest.mark.parametrize("name", ["huge-line", "huge-marks", "deep"])
def test_a_huge_mail_leaves_the_list_small(visitor: TestClient, numbers: dict[str, int], name: str) -> None:
    assert visitor.get(f"/question/{numbers[name]}").status_code == 200
    assert len(visitor.get("/").content) < 100_000


def test_strangers_see_no_attachment(shop: Office, numbers: dict[str, int]) -> None:
    settings = replace(shop.settings, host="0.0.0.0")
    with TestClient(create_app(settings, replace(shop, settings=settings)), base_url="http://localhost") as outside:
        assert outside.get(f"/attachment/{numbers['attachments']}/1/1", follow_redirects=False).status_code == 303

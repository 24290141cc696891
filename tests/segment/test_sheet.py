"""The run sheet on paper and screen: complete, in its order, offline, and readable."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser

import pypdfium2
import pytest

from triage.segment.clock import clock_plan
from triage.segment.paper import A4, LETTER, Paper
from triage.segment.pdf_book import drawable
from triage.segment.programme import Essentials, LeftOut, Missing, Programme, Slot, Tip
from triage.segment.sheet import Look, Sheet, sheet_of
from triage.segment.sheet_html import as_html
from triage.segment.sheet_pdf import as_pdf
from triage.segment.sheet_text import as_text

from .conftest import THURSDAY
from .test_choosing import candidate

FULL = Essentials(
    known=("2009 Tarvik Lark", "48 V"),
    missing=(
        Missing("powertrain", "electric or petrol", "not told: electric or petrol - say both", "Is it electric?"),
    ),
    causes=("loose battery connection",),
    checks=("Feel the connections.",),
    answer=("Start with the wheel nuts.", "If one binds: it is the wrong thread."),
    numbers=("50 to 85 lb·ft (68 to 115 N·m)",),
    safety=("Rings off.",),
)
BARE = Essentials(causes=("brushes worn",), checks=("Look at the brushes.",))
PLAN = Programme(
    THURSDAY, 30.0, 4.5,
    (
        Slot(candidate(1, asker="Łukasz", agreed=True, words="a <b>b</b>", vehicle="Lark", essentials=FULL), 1, 2.0),
        Slot(candidate(2, asker="Dave", answerable=False, puzzle=0.8, essentials=BARE), 2, 2.5),
    ),
    (LeftOut(candidate(3, vehicle="petrol"), "no room", spare=True), LeftOut(candidate(4), "worth less")),
    "Welcome to the hour.", Tip("tip_rings", "Off with the rings.", "common practice, no source"), "Goodbye.",
)  # fmt: skip


@pytest.fixture
def sheet() -> Sheet:
    return sheet_of(PLAN, "Harrow Lane Cart Works", "The Hour", lambda text: f"{text}", clock_plan(PLAN))


def labels(sheet: Sheet, page: int) -> list[str]:
    return [block.label for block in sheet.pages[page].blocks]


def test_the_pages_come_in_the_order_they_are_needed(sheet: Sheet):
    assert [page.mark or page.title for page in sheet.pages] == [
        "Opening", "1", "2", "Live questions and closing", "spare 1",
    ]  # fmt: skip
    assert sheet.title == "The Hour, 26 November 2026"


def test_a_question_with_an_answer_has_everything_beside_it(sheet: Sheet):
    assert labels(sheet, 1)[:9] == [
        "question", "their words", "known", "take care", "safety", "answer", "causes", "numbers", "ask for",
    ]  # fmt: skip


def test_without_an_answer_causes_and_checks_are_said(sheet: Sheet):
    said = {block.label: block.look for block in sheet.pages[2].blocks}
    assert said["causes"] is said["checks"] is Look.SAY


def test_safety_comes_before_the_answer(sheet: Sheet):
    assert labels(sheet, 1).index("safety") < labels(sheet, 1).index("answer")


def test_who_agreed_is_named_and_nobody_else(sheet: Sheet):
    assert sheet.pages[1].title == "Łukasz · Lark"
    assert sheet.pages[2].title == "A reader"
    assert sheet.pages[4].title == "A reader · petrol cart"
    assert "Dave" not in as_text(sheet)


def test_what_to_leave_out_when_late_is_told_by_place(sheet: Sheet):
    assert re.fullmatch(r"later than \d+:\d\d: leave out [12]", sheet.pages[1].clock[0])


class Links(HTMLParser):
    """What a browser would fetch."""

    def __init__(self) -> None:
        super().__init__()
        self.fetched: list[str] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.fetched += [value or "" for name, value in attrs if name in ("href", "src", "srcset", "data", "action")]


def test_the_page_fetches_nothing_and_runs_nothing(sheet: Sheet):
    page, links = as_html(sheet, A4), Links()
    links.feed(page)
    assert not links.fetched
    assert not {"script", "link", "img", "iframe", "object"} & set(links.tags)
    assert not re.search(r"url\(|@import|https?:", page)
    assert "a &lt;b&gt;b&lt;/b&gt;" in page


def test_the_page_prints_on_the_paper_asked_for(sheet: Sheet):
    assert "size: letter" in as_html(sheet, LETTER)


@pytest.mark.parametrize("paper", [A4, LETTER])
def test_the_pdf_holds_every_word_in_large_type(sheet: Sheet, paper: Paper):
    document = pypdfium2.PdfDocument(as_pdf(sheet, paper))
    try:
        assert len(document) == len(sheet.pages)
        assert document[0].get_size() == pytest.approx((paper.width, paper.height), abs=0.01)
        words = " ".join(page.get_textpage().get_text_range() for page in document).split()
    finally:
        document.close()
    wanted = " ".join(line for page in sheet.pages for block in page.blocks for line in block.lines).split()
    assert set(wanted) <= set(words)


def test_a_question_longer_than_a_page_goes_on_over_leaf(sheet: Sheet):
    long = replace(FULL, answer=tuple(f"Sentence {number} of a very long answer. " * 4 for number in range(30)))
    slots = (replace(PLAN.slots[0], candidate=replace(PLAN.slots[0].candidate, essentials=long)), PLAN.slots[1])
    plan = replace(PLAN, slots=slots)
    made = sheet_of(plan, "Works", "The Hour", str, clock_plan(plan))
    document = pypdfium2.PdfDocument(as_pdf(made, A4))
    try:
        words = " ".join(page.get_textpage().get_text_range() for page in document)
        assert len(document) > len(made.pages)
    finally:
        document.close()
    assert [f"Sentence {number} of" in " ".join(words.split()) for number in range(30)] == [True] * 30


def test_a_word_wider_than_the_page_is_cut_and_nothing_is_lost():
    wide = replace(PLAN, opening="§" * 400)
    made = sheet_of(wide, "Works", "The Hour", str, clock_plan(wide))
    document = pypdfium2.PdfDocument(as_pdf(made, A4))
    try:
        assert document[0].get_textpage().get_text_range().count("§") == 400
    finally:
        document.close()


@pytest.mark.parametrize(
    ("text", "shown"),
    [("½ in, 36 V — “so”", "½ in, 36 V — “so”"), ("Łukasz Ő žč", "Łukasz Ő žč"), ("a🚗b", "a?b"), ("e\u0301", "é")],
)
def test_what_the_fonts_cannot_show_is_a_question_mark(text: str, shown: str):
    assert drawable(text) == shown


def test_plain_text_breaks_no_line(sheet: Sheet):
    text = as_text(sheet)
    assert "- If one binds: it is the wrong thread." in text.splitlines()
    assert "!! SAFETY" in text.splitlines()

"""Worksheets as pages: each works out what the command does, tells mistakes at their field, and goes into a reply."""

from __future__ import annotations

import html
import re

import pytest
from physics.test_worksheet import RUNS
from starlette.testclient import TestClient

from triage.bench.office import Office
from triage.physics.worksheet import WORKSHEETS, work


def shown(text: str) -> str:
    return html.unescape(text)


def field_of(page: str, name: str) -> str:
    """The part of the page that belongs to one field."""
    return next(part for part in page.split('<p class="field">') if f'id="v-{name}"' in part)


def token(page: str) -> str:
    return re.search(r'name="csrf" value="([^"]+)"', page)[1]


def test_the_list_links_every_worksheet(client: TestClient) -> None:
    page = client.get("/sheets").text
    assert set(re.findall(r'href="/sheets/([a-z-]+)"', page)) == {sheet.name for sheet in WORKSHEETS}


@pytest.mark.parametrize(("name", "given", "label", "value", "within"), RUNS, ids=[run[0] for run in RUNS])
def test_each_worksheet_shows_the_worked_figure_with_formula_source_and_caution(
    client, name, given, label, value, within
):
    page = client.get(f"/sheets/{name}", params=given)
    assert page.status_code == 200
    result = work(name, given)
    text = shown(page.text)
    outcome = next(one for one in result.results if one.label == label)
    assert f"<dt>{label}</dt><dd>{outcome.text}</dd>" in text
    assert result.formula in text
    assert result.source in text
    assert result.caution in text
    assert ("<svg" in text) == (result.curve is not None)


@pytest.mark.parametrize("sheet", WORKSHEETS, ids=lambda sheet: sheet.name)
def test_every_field_has_its_label_and_unit_before_anything_is_typed(client: TestClient, sheet) -> None:
    page = client.get(f"/sheets/{sheet.name}")
    assert page.status_code == 200
    for item in sheet.inputs:
        assert f'for="v-{item.name}"' in page.text
    assert "another look" not in page.text


@pytest.mark.parametrize("subject", ["state of charge", "time to flat", "drop", "speed"])
def test_a_curve_is_drawn_where_it_tells_more(client: TestClient, subject: str) -> None:
    asked = {
        "state of charge": ("state-of-charge", {"volts": "37.35", "nominal": "36"}),
        "time to flat": ("runtime", {"capacity": "225", "current": "75"}),
        "drop": ("cable-drop", {"gauge": "6", "length": "3", "amps": "200"}),
        "speed": ("speed", {"rpm": "3000", "gear": "12.44", "tyre": "18"}),
    }
    name, given = asked[subject]
    page = client.get(f"/sheets/{name}", params=given).text
    assert f'<title id="plot-title">{subject} by ' in page
    assert '<circle class="here"' in page
    assert "<table>" in page


WRONG = [
    ("state-of-charge", {"volts": "lots", "nominal": "36"}, "volts", "'lots' is not a number; write for example"),
    ("state-of-charge", {"volts": "", "nominal": "36"}, "volts", "is missing"),
    ("state-of-charge", {"volts": "380", "nominal": "36"}, "volts", "3 to 110 V"),
    ("speed", {"rpm": "3000", "gear": "12", "tyre": "18 kg"}, "tyre", "cannot be turned into in"),
    ("pack", {"count": "6.5", "unit": "6", "capacity": "225"}, "count", "give a whole number"),
    ("cable-drop", {"gauge": "", "length": "3", "amps": "200"}, "gauge", "choose one of"),
    ("speed-class", {"speed": '"><script>alert(1)</script>'}, "speed", "is not a number"),
]


@pytest.mark.parametrize(("name", "given", "field", "words"), WRONG)
def test_what_is_wrong_is_said_at_its_field_and_what_was_typed_stays(client, name, given, field, words):
    page = client.get(f"/sheets/{name}", params=given)
    assert page.status_code == 422
    part = field_of(page.text, field)
    assert 'aria-invalid="true"' in part
    assert words in shown(part)
    assert f"({field})" not in part  # the command line's name of it
    assert "<script>alert" not in page.text
    for other in set(given) - {field}:
        assert "aria-invalid" not in field_of(page.text, other)


def test_values_that_do_not_go_together_are_told_above_the_fields(client: TestClient) -> None:
    page = client.get("/sheets/state-of-charge", params={"volts": "37", "nominal": "12"})
    assert page.status_code == 422
    assert 'role="alert"' in page.text
    assert "rest voltage" in page.text


def test_a_text_code_that_cannot_be_read_is_told(client: TestClient) -> None:
    page = client.get("/sheets/tyre", params={"code": "round"})
    assert page.status_code == 422
    assert "round" in page.text


def test_a_value_may_have_another_unit(client: TestClient) -> None:
    assert "12.91 mph" in client.get("/sheets/speed", params={"rpm": "3000", "gear": "12.44", "tyre": "457.2 mm"}).text


@pytest.mark.parametrize("path", ["/sheets/nothing", "/sheets/tyre?question=9999"])
def test_what_is_not_there_is_said(client: TestClient, path: str) -> None:
    assert client.get(path).status_code == 404


def test_what_the_question_told_stands_in_the_fields(client: TestClient) -> None:
    """Question 3 asks about 205/50-10 tyres."""
    part = field_of(client.get("/sheets/tyre?question=3").text, "code")
    assert 'value="205/50-10"' in part
    assert "from the question" in part


def test_the_outcome_goes_into_the_reply_tied_to_its_worksheet(client: TestClient, office: Office) -> None:
    page = client.get("/sheets/tyre?question=3&code=205/50-10").text
    words = shown(re.search(r"<textarea[^>]*>([^<]+)</textarea>", page)[1])
    assert "diameter 18.07 in" in words
    with office.store() as store:
        before = store.thread(3).drafts
    answer = client.post(
        "/sheets/tyre/reply", data={"csrf": token(page), "question": "3", "words": words}, follow_redirects=False
    )
    assert (answer.status_code, answer.headers["location"]) == (303, "/question/3#reply")
    with office.store() as store:
        after = store.thread(3).drafts
    assert len(after) == len(before) + 1
    put = [one.text for one in after[-1].draft.sentences if one.source == "sheet:tyre"]
    assert words == " ".join(put)
    assert after[-1].by == "Wyn"


@pytest.mark.parametrize(
    ("question", "words", "says"), [("", "Eighteen inches.", "Which question"), ("3", " ", "Write what")]
)
def test_nothing_is_put_without_words_or_a_question(client: TestClient, question: str, words: str, says: str) -> None:
    data = {"csrf": token(client.get("/sheets/tyre?code=205/50-10").text), "question": question, "words": words}
    answer = client.post("/sheets/tyre/reply", data=data)
    assert answer.status_code == 422
    assert says in answer.text

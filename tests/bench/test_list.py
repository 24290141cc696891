"""The list: found by words and facts, counted, paged, quiet while nothing changes, small."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from starlette.testclient import TestClient

from triage.bench.app import create_app
from triage.bench.views.finding import Sought, fact_choices, sought
from triage.bench.views.waiting import waiting_list
from triage.bench.waiting import MOST
from triage.desk import read_open, take_in
from triage.model import Address, Decision
from triage.store import NO_DANGER, UNREAD, QueueRow, Summary, ThreadState

from .post import NOW, message

NAMES = {"pack_voltage", "powertrain", "symptom"}


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("hums and clicks", Sought("hums and clicks")),
        ("pack_voltage=48", Sought("", {"pack_voltage": 48})),
        ("Pack-Voltage=48 hums", Sought("hums", {"pack_voltage": 48})),
        ("powertrain=electric", Sought("", {"powertrain": "electric"})),
        ("colour=red", Sought("", {}, ("colour",))),
        ("pack_voltage=", Sought("", {}, ("pack_voltage",))),
        ("", Sought()),
        ("  ", Sought()),
    ],
)
def test_words_and_facts_are_told_apart(typed, expected):
    assert sought(typed, NAMES) == expected


def test_every_example_of_the_search_line_is_one_it_understands(office):
    choices = fact_choices(office.stages.pack)
    assert choices
    assert all(sought(choice, office.stages.pack.facts).facts for choice in choices)


@pytest.mark.parametrize(
    ("find", "who"),
    [
        ("hums", "Una Vale"),
        ("powertrain=petrol", "Nell Roe"),
        ("charger model=Lark", "Una Vale"),
        ("una", "Una Vale"),
    ],
)
def test_words_and_facts_find_the_question(client, find, who):
    page = client.get("/", params={"find": find}).text
    assert who in page
    assert "Dot Marsh" not in page


@pytest.mark.parametrize(
    ("query", "says"),
    [
        ({"find": "qwertyuiop"}, "Nothing found"),
        ({"state": "settled"}, "Nothing here"),
        ({"find": "colour=red"}, "There is no fact called colour"),
        ({"find": '"*)( NEAR'}, "Nothing found"),
        ({"state": "no-such-state"}, "Danger told"),
    ],
)
def test_what_is_not_there_is_said(client, query, says):
    assert says in client.get("/", params=query).text


def test_an_empty_queue_says_that_nobody_waits(client, store):
    for thread in list(store.each_thread()):
        store.settle(thread.id, by="Wyn")
    assert "Nobody waits" in client.get("/").text


def test_nothing_is_sent_while_nothing_changed(client, store):
    seen = re.search(r"seen=([^\"&]+)", client.get("/").text)[1]
    assert client.get(f"/waiting/rows?seen={seen}").status_code == 204
    store.note(1, "x", by="Bram")
    assert client.get(f"/waiting/rows?seen={seen}").status_code == 200


def row(number: int, danger: int = NO_DANGER, **more: object) -> QueueRow:
    fields = {
        "thread": number, "asker": Address("a@mail.example", "Ann " * 12), "subject": "s", "state": ThreadState.READY,
        "danger": danger, "decision": Decision.ASK, "waiting_since": NOW, "messages": 1,
        "summary": Summary("2009 Tarvik Lark, electric, 48 V, 6 x 8 V batteries", "clicks " * 12, ("year",) * 3),
    }  # fmt: skip
    return QueueRow(**(fields | more))  # type: ignore[arg-type]


def test_groups_go_from_danger_to_the_longest_wait():
    rows = [row(1, 0), row(2, 3), row(3, UNREAD), row(4)]
    view = waiting_list(rows, {}, {}, NOW)
    assert [(group.title, len(group.lines)) for group in view.groups] == [
        ("Danger told", 2),
        ("Not read yet", 1),
        ("Longest wait first", 1),
    ]
    assert [line.sign for group in view.groups for line in group.lines] == ["!!", "!", "?", ""]


def test_a_further_page_is_offered_when_there_are_more():
    assert waiting_list([row(n) for n in range(MOST + 1)], {}, {}, NOW, most=MOST).more
    assert not waiting_list([row(n) for n in range(MOST)], {}, {}, NOW, most=MOST).more


def test_the_page_stays_under_100_kb_when_it_is_full(client, store, office):
    long = "My 2012 Lark, 48 V, clicks but will not move, and the charger hums, and it smells. " * 3
    mails = [message(n, "Maximilian Featherstonehaugh-Oost " * 2, "s" * 90, long) for n in range(200, 200 + MOST + 5)]
    take_in(mails, store, office.stages.pack)
    list(read_open(store, office.stages))
    assert len(client.get("/").content) <= 100_000


def test_trouble_with_a_mailbox_is_told_on_the_list(office):
    troubled = replace(office, troubles=lambda: ["post: the server does not answer"])
    with TestClient(create_app(troubled.settings, troubled), base_url="http://127.0.0.1") as client:
        assert "post: the server does not answer" in client.get("/").text

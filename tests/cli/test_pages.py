"""What a support person looks at: at 80, 100 and 150 columns, without colour; and JSON that is nothing else."""

from __future__ import annotations

import json
import re
import shutil
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from triage.cli.page import shown, waiting
from triage.store import What

from .conftest import Ran, Stocked, Triage
from .mailbox import mail

LONG = (
    "My 2014 Tarvik Lark, 48 volts I think, no lift, only clicks and will not go. A friend's cart is 36 volts. "
    "There was smoke from under the seat, and it smells of rotten eggs when it charges. "
    + "https://shop.example/" + "x" * 120
)  # fmt: skip
MAILS = [
    mail(1, LONG, sender="Ida Fen-Featherstonehaugh of the Long Barn <ida@mail.example>"),
    mail(2, "It is a 2015, sorry, not a 2014.", subject="Re: Cart clicks", answers=("m1@mail.example",)),
    mail(3, "Which wheel nuts fit my Hollin Tern? And does it need oil?", sender="odd@post.example", subject="Nuts"),
    mail(
        4,
        "Is the 日本語 manual for the Merrow Dot there? There is smoke coming from under the seat.",
        sender="Ōe <oe@post.example>",
        subject="Manual",
    ),
]


@pytest.fixture
def filled(triage: Triage, stocked: Stocked) -> None:
    stocked(MAILS)
    triage("note", 1, "She rings back")


@pytest.mark.parametrize("columns", [80, 100, 150])
def test_no_page_is_wider_than_the_terminal(
    triage: Triage, filled: None, monkeypatch: pytest.MonkeyPatch, columns: int
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    for command in (["queue"], ["queue", "--text", "clicks"], ["show", 1], ["show", 2], ["show", "--best"]):
        page = triage(*command).out
        for line in page.splitlines():
            assert len(line) <= columns, line
            assert line == line.rstrip()


@pytest.mark.parametrize(("columns", "lines"), [(80, 2), (100, 2), (150, 1)])
def test_a_thread_takes_two_lines_or_one(
    triage: Triage, filled: None, monkeypatch: pytest.MonkeyPatch, columns: int, lines: int
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    page = triage("queue").out
    starts = [n for n, line in enumerate(page.splitlines()) if re.match(r"(!!|! |\? |  ) +\d+ ", line)]
    assert starts == list(range(lines, lines + 3 * lines, lines))
    assert ("2015 Tarvik Lark" in page and "1 m" in page) or "d " in page


def test_danger_and_standing_are_told_in_words(triage: Triage, filled: None) -> None:
    assert re.search(r"^  +DANGER .*, reported", triage("show", 3).out, re.MULTILINE)
    page = triage("show", 1).out
    assert re.search(r"2015  corrected", page)
    assert re.search(r"2014  not so", page)
    assert re.search(r"electric  worked out", page)
    assert "She rings back" in page


def test_a_search_line_and_an_empty_list(triage: Triage, filled: None) -> None:
    assert "…rotten eggs" in triage("queue", "--text", "eggs").out
    assert triage("queue", "--asker", "nobody").out.startswith("No thread here.")


@pytest.mark.parametrize(
    "command",
    [
        ["queue"],
        ["counts"],
        ["unreadable"],
        ["show", "1"],
        ["show", "--best"],
        ["history", "1"],
        ["pack", "check"],
        ["phone", "It – ü – clicks"],
    ],
)
def test_json_is_json_and_nothing_else(triage: Triage, filled: None, command: list[str]) -> None:
    ran: Ran = triage(*command, "--json")
    json.loads(ran.out)
    assert "\x1b" not in ran.out


def test_json_of_a_first_reading_has_its_progress_elsewhere(triage: Triage, tmp_path: Path, small_shop: Path) -> None:
    """Of a pack with an answer that no run has seen before."""
    shutil.copytree(small_shop, tmp_path / "changed")
    answer = tmp_path / "changed" / "shop" / "answers" / "example.md"
    answer.write_text(answer.read_text().replace("the number plate with", f"plate {time.time_ns()} with"))
    ran = triage("read", "--json", "--pack", tmp_path / "changed", stdin="Where is the plate?")
    assert ran.json["matches"][0]["answer"] == "example-plate"
    assert "for the first time" in ran.err


def test_dates_in_json_are_iso_8601(triage: Triage, filled: None) -> None:
    assert triage("show", 1, "--json").json["messages"][0]["sent"] == "2026-11-09T08:01:00+00:00"


def test_history_names_what_happened(triage: Triage, filled: None) -> None:
    lines = triage("history", 1).out.splitlines()
    assert len(lines) == len(triage("history", 1, "--json").json)
    assert re.fullmatch(r"\d{4}-\d\d-\d\d \d\d:\d\d  wyn {11}note {14}text: She rings back", lines[-1])
    for what in (What.ARRIVED, What.READING, What.DRAFT):
        assert any(what.value in line for line in lines)


def moments() -> Iterator[tuple[int, str]]:
    yield from ((0, "0 m"), (59, "59 m"), (60, "1 h"), (47 * 60 + 59, "47 h"), (48 * 60, "2 d"), (-5, "0 m"))


@pytest.mark.parametrize(("minutes", "expected"), moments())
def test_waiting(minutes: int, expected: str) -> None:
    from datetime import UTC, datetime, timedelta

    now = datetime(2026, 11, 25, tzinfo=UTC)
    assert waiting(now, now - timedelta(minutes=minutes)) == expected


@pytest.mark.parametrize(
    ("value", "expected"), [(48, "48"), (6.5, "6.5"), (48.0, "48"), ((7.9, 8.0), "7.9 8"), ("agm", "agm")]
)
def test_values_as_people_write_them(value: object, expected: str) -> None:
    assert shown(value) == expected  # type: ignore[arg-type]

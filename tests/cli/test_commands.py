"""Every command does what its help says; the small shop is used where the answers do not matter."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from triage.cli.errors import CODES

from .conftest import Stocked, Triage
from .mailbox import mail, mbox

QUESTION = "My 2014 Tarvik Lark 48 volt only clicks and will not go. Which part is it?"


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch, small_shop: Path) -> None:
    monkeypatch.setenv("TRIAGE_PACK", str(small_shop))


@pytest.fixture
def asked(small: None, stocked: Stocked) -> int:
    """A thread that was taken in and read."""
    stocked([mail(1, QUESTION)])
    return 1


def state_of(triage: Triage, thread: int) -> str:
    return str(triage("show", thread, "--json").json["state"])


def test_help_names_every_command_and_exit_code(triage: Triage) -> None:
    page = triage("--help").out
    for name in "take-in phone read queue show note fact told sent settle aside reopen undo history counts".split():
        assert re.search(rf"^  {name} ", page, re.MULTILINE), name
    for code, meaning in CODES.items():
        assert re.search(rf"^ +{code} +{re.escape(meaning)}$", page, re.MULTILINE)


@pytest.mark.parametrize(
    "command",
    "read take-in phone queue show note fact told sent settle aside reopen undo history counts unreadable reply "
    "store store/export pack pack/check pack/new pack/import pack/export encoder encoder/build".split(),
)
def test_help_fits_80_columns_and_every_option_says_what_it_does(triage: Triage, command: str) -> None:
    page = triage(*command.split("/"), "--help").out
    assert all(len(line) <= 80 for line in page.splitlines() if "[new|" not in line)
    for line in page.splitlines():
        assert not re.fullmatch(r"  --?[\w-]+( <[\w ]+>)?", line), f"an option without help: {line}"


class TestRead:
    def test_standard_input(self, triage: Triage, small: None) -> None:
        page = triage("read", stdin=QUESTION).out
        assert "pack voltage" in page and "48 V" in page and "Draft" in page

    def test_a_file_with_subject_and_asker(self, triage: Triage, small: None, tmp_path: Path) -> None:
        (tmp_path / "q.txt").write_text(QUESTION)
        reading = triage("read", tmp_path / "q.txt", "--subject", "Clicks", "--from", "Ida Fen", "--json").json
        assert reading["draft"]["subject"] == "Re: Clicks"
        assert "Ida" in reading["draft"]["body"]

    def test_offsets_are_into_the_text_as_given(self, triage: Triage, small: None) -> None:
        text = "Grüße!\0 My – cart is 48 volt."
        (fact,) = [f for f in triage("read", "--json", stdin=text).json["facts"] if f["name"] == "pack_voltage"]
        assert text[fact["start"] : fact["end"]].startswith("48")

    def test_a_batch_gives_one_line_per_line(self, triage: Triage, small: None, tmp_path: Path) -> None:
        lines = [
            {"id": "a", "text": QUESTION},
            {"id": 7, "text": "half a character \ud800", "subject": None},
            {"text": ""},
        ]
        (tmp_path / "in.jsonl").write_text("\ufeff" + "\n\n".join(map(json.dumps, lines)) + "\n", encoding="utf-8")
        ran = triage("read", "--jsonl", tmp_path / "in.jsonl", "--out", tmp_path / "out.jsonl")
        assert ran.out == ""
        readings = [json.loads(line) for line in (tmp_path / "out.jsonl").read_text("utf-8").splitlines()]
        assert [reading["id"] for reading in readings] == ["a", "7", f"{tmp_path / 'in.jsonl'}:5"]
        assert {fact["value"] for fact in readings[0]["facts"] if fact["name"] == "year"} == {2014}


class TestTakingIn:
    def test_by_phone(self, triage: Triage, small: None) -> None:
        ran = triage("phone", "-", "--from", "Mrs Alder", stdin="Does it need water?")
        assert "triage show 1" in ran.out
        assert triage("queue", "--json").json[0]["asker"] == "Mrs Alder"

    def test_by_phone_reads_only_that_thread(self, triage: Triage, small: None, tmp_path: Path) -> None:
        triage("take-in", "--only-keep", mbox(tmp_path / "a.mbox", [mail(1, QUESTION)]))
        assert triage("phone", "Does it need water?", "--json").json == {"threads": [2]}
        assert state_of(triage, 1) == "new"

    def test_only_keep_leaves_the_reading_for_later(self, triage: Triage, small: None, tmp_path: Path) -> None:
        ran = triage("take-in", "--only-keep", mbox(tmp_path / "a.mbox", [mail(1, QUESTION)]))
        assert "Read: 0 threads" in ran.out
        assert triage("queue").out.lstrip().startswith("vehicle")
        assert "? " in triage("queue").out  # marked as not read yet
        triage("queue", "--read")
        assert state_of(triage, 1) == "ready"

    def test_what_cannot_be_read_is_set_aside_with_its_bytes(self, triage: Triage, small: None, tmp_path: Path) -> None:
        folder = tmp_path / "mails"
        folder.mkdir()
        (folder / "empty.eml").write_bytes(b"")
        (folder / "good.eml").write_bytes(mail(1, QUESTION))
        (folder / "noise.eml").write_bytes(b"\x00\x01\x02" * 100)
        assert triage("take-in", folder, "--json").json["set_aside"] == 2
        listed = triage("unreadable", "--json", "--save", tmp_path / "kept").json
        assert {item["source"] for item in listed} == {"empty.eml", "noise.eml"}
        assert (tmp_path / "kept" / "0002.bin").read_bytes() == b"\x00\x01\x02" * 100
        assert "is empty" in triage("unreadable").out

    def test_an_empty_source_is_said_to_be_empty(self, triage: Triage, small: None, tmp_path: Path) -> None:
        (tmp_path / "a.mbox").touch()
        assert "a.mbox: nothing is in it" in triage("take-in", tmp_path / "a.mbox").err

    def test_columns_of_an_export(self, triage: Triage, small: None, tmp_path: Path) -> None:
        (tmp_path / "a.csv").write_text("wer,was\nIda,Does it need water?\n")
        (tmp_path / "columns.yaml").write_text("text: was\nname: wer\n")
        triage("take-in", "--columns", tmp_path / "columns.yaml", tmp_path / "a.csv")
        assert triage("queue", "--json").json[0]["asker"] == "Ida"


@pytest.fixture
def three(small: None, triage: Triage, stocked: Stocked) -> None:
    """Threads 1 (electric), 2 (petrol) and 3 (on fire)."""
    mails = [
        mail(1, QUESTION, sender="Ida Fen <ida@mail.example>"),
        mail(2, "The petrol engine turns over and will not start.", sender="Odd <odd@post.example>", subject="Petrol"),
        mail(3, "There is smoke and fire under the seat right now!", sender="Ana <ana@mail.example>", subject="Help"),
    ]
    stocked(mails)
    triage("settle", 2)


@pytest.mark.parametrize(
    ("options", "threads"),
    [
        pytest.param([], [3, 1], id="open-ones-danger-first"),
        pytest.param(["--all"], [3, 1, 2], id="all"),
        pytest.param(["--state", "settled"], [2], id="state"),
        pytest.param(["--state", "settled", "--state", "ready"], [3, 1, 2], id="states"),
        pytest.param(["--danger"], [3], id="danger"),
        pytest.param(["--asker", "IDA"], [1], id="asker"),
        pytest.param(["--fact", "pack_voltage=48"], [1], id="fact"),
        pytest.param(["--fact", "pack_voltage=48", "--fact", "year=1999"], [], id="facts"),
        pytest.param(["--symptom", "clicks_no_move"], [1], id="symptom"),
        pytest.param(["--decision", "hand_over"], [3], id="decision"),
        pytest.param(["--limit", "1"], [3], id="limit"),
        pytest.param(["--text", "petrol eng"], [2], id="words-in-every-state"),
        pytest.param(["--text", "petrol", "--state", "ready"], [], id="words-and-state"),
        pytest.param(["--missing", "budget"], [], id="missing"),
    ],
)
def test_queue_filters(triage: Triage, three: None, options: list[str], threads: list[int]) -> None:
    assert sorted(row["thread"] for row in triage("queue", *options, "--json").json) == sorted(threads)


def test_queue_puts_danger_first(triage: Triage, three: None) -> None:
    assert [row["thread"] for row in triage("queue", "--json").json] == [3, 1]
    assert re.search(r"^!! +3 ", triage("queue").out, re.MULTILINE)


def test_a_search_shows_where_the_words_stand(triage: Triage, three: None) -> None:
    assert "only clicks and will" in triage("queue", "--text", "clicks").out


class TestOneThread:
    def test_note(self, triage: Triage, asked: int) -> None:
        triage("note", asked, "She rings back at noon", "--by", "bea")
        assert "She rings back at noon" in triage("show", asked).out
        entry = triage("history", asked, "--json").json[-1]
        assert (entry["what"], entry["by"]) == ("note", "bea")

    def test_facts_set_denied_and_taken_back(self, triage: Triage, asked: int) -> None:
        triage("fact", asked, "pack_voltage=36 V", "battery_chemistry!=lithium", "symptom=clicks_no_move")
        facts = [f for r in triage("show", asked, "--json").json["readings"] for f in r["facts"]]
        set_by = {(f["name"], f["value"], f["standing"]) for f in facts if f["basis"] == "set by wyn"}
        assert set_by == {
            ("pack_voltage", 36, "stated"),
            ("battery_chemistry", "lithium", "denied"),
            ("symptom", "clicks_no_move", "stated"),
        }
        assert triage("queue", "--fact", "pack_voltage=36", "--json").json
        triage("fact", asked, "pack_voltage=")
        assert triage("queue", "--fact", "pack_voltage=48", "--json").json
        lines = triage("history", asked).out
        assert "pack_voltage=36, battery_chemistry!=lithium" in lines and "was pack_voltage=36" in lines

    def test_two_values_of_a_fact_that_repeats(self, triage: Triage, asked: int) -> None:
        triage("fact", asked, "symptom=clicks_no_move", "symptom=burning_smell")
        for symptom in ("clicks_no_move", "burning_smell"):
            assert triage("queue", "--symptom", symptom, "--json").json

    @pytest.mark.parametrize(
        ("command", "state"),
        [
            (["told", "Change the solenoid."], "replied"),
            (["told", "What year is it?", "--asks"], "waiting_for_asker"),
            (["sent", "Change the solenoid."], "replied"),
            (["settle", "A new solenoid"], "settled"),
            (["aside", "spam"], "set_aside"),
        ],
    )
    def test_moves_and_undo(self, triage: Triage, asked: int, command: list[str], state: str) -> None:
        triage(command[0], asked, *command[1:])
        assert state_of(triage, asked) == state
        triage("undo", asked)
        assert state_of(triage, asked) == "ready"

    def test_a_draft_that_asks_waits_for_the_asker(self, triage: Triage, tmp_path: Path) -> None:
        triage("phone", "My cart is slow. What is it?", "--from", "Ida")
        (reading,) = triage("show", 1, "--json").json["readings"]
        assert reading["gaps"] and reading["gaps"][0]["ask"] in reading["draft"]["body"]
        triage("sent", 1)
        assert state_of(triage, 1) == "waiting_for_asker"

    def test_reopen(self, triage: Triage, asked: int) -> None:
        triage("settle", asked)
        triage("reopen", asked, "it came back")
        assert state_of(triage, asked) == "new"

    def test_what_helped_stands_on_the_page(self, triage: Triage, asked: int) -> None:
        triage("settle", asked, "A new solenoid")
        assert "A new solenoid" in triage("show", asked).out

    def test_what_was_sent_is_read_from_the_mail(self, triage: Triage, asked: int, tmp_path: Path) -> None:
        (tmp_path / "out.eml").write_bytes(mail(99, "Bonjour, changez le relais. É.", domain="harrowlane.example"))
        triage("sent", asked, "--mail", tmp_path / "out.eml")
        assert triage("show", asked, "--json").json["replies"][0]["text"] == "Bonjour, changez le relais. É."

    def test_counts(self, triage: Triage, asked: int) -> None:
        assert triage("counts", "--json").json["ready"] == 1
        assert re.search(r"^ +1  ready to reply$", triage("counts").out, re.MULTILINE)


class TestShowBest:
    def test_the_fullest_that_can_be_worked_on(self, triage: Triage, tmp_path: Path) -> None:
        mails = [
            mail(1, "There is smoke and fire under the seat of my 2014 48 volt Tarvik Lark!", subject="a"),
            mail(2, "Which wheel nuts fit?", sender="Odd <odd@post.example>", subject="b"),
            mail(
                3, "Which wheel nuts fit my 2014 Tarvik Lark, 48 volts, flooded?", sender="A <a@b.example>", subject="c"
            ),
        ]
        triage("take-in", mbox(tmp_path / "a.mbox", mails))
        assert triage("show", "--best", "--json").json["subject"] == "c"

    def test_none(self, triage: Triage, small: None, tmp_path: Path) -> None:
        triage("take-in", "--only-keep", mbox(tmp_path / "a.mbox", [mail(1, QUESTION)]))
        assert "triage queue --all" in triage("show", "--best", code=1).err

    @pytest.mark.parametrize("arguments", [[], ["1", "--best"]])
    def test_a_number_or_best(self, triage: Triage, asked: int, arguments: list[str]) -> None:
        assert "--best" in triage("show", *arguments, code=2).err

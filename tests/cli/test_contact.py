"""What was told before, what was changed before sending, and in which style; with the small shop."""

from __future__ import annotations

import json
from email import message_from_bytes
from email.policy import default
from pathlib import Path

import pytest

from .conftest import Stocked, Triage
from .mailbox import mail, mbox

QUESTION = "My 2014 Tarvik Lark 48 volt only clicks and will not go. Which part is it?"
LATER = "My Tarvik Lark is slow now. What can it be?"


@pytest.fixture(autouse=True)
def small(monkeypatch: pytest.MonkeyPatch, small_shop: Path) -> None:
    monkeypatch.setenv("TRIAGE_PACK", str(small_shop))


class TestBefore:
    @pytest.fixture(autouse=True)
    def twice(self, triage: Triage, stocked: Stocked) -> None:
        stocked([mail(1, QUESTION), mail(2, LATER, subject="Slow")])

    def test_the_page_shows_what_the_asker_told_before(self, triage: Triage) -> None:
        triage("settle", 1, "A new solenoid")
        page = " ".join(triage("show", 2).out.split())
        assert "thread 1, 09 Nov 2026, settled: same asker" in page
        assert (
            "year of manufacture 2014, make Tarvik, model Lark, pack voltage 48 V" in page
            and "what helped: A new solenoid" in page
        )
        assert "\nBefore" not in triage("show", 1).out

    def test_scripts_get_it_too(self, triage: Triage) -> None:
        assert triage("show", 1, "--json").json["prior"] == []
        (prior,) = triage("show", 2, "--json").json["prior"]
        assert (prior["thread"], prior["state"], prior["same"]) == (1, "ready", ["asker", "vehicle"])
        assert ("pack_voltage", 48) in {(fact["name"], fact["value"]) for fact in prior["facts"]}

    def test_it_is_known_when_the_next_mail_is_read(self, triage: Triage) -> None:
        facts = {f["name"]: f for r in triage("show", 2, "--json").json["readings"] for f in r["facts"]}
        assert facts["pack_voltage"]["value"] == 48
        assert facts["pack_voltage"]["basis"].startswith("thread 1, 09 Nov 2026: ")


def test_a_caller_is_known_by_name_and_number(triage: Triage) -> None:
    for text, number in ((QUESTION, "555-0101"), (LATER, "(555) 0101"), (LATER + " Hello?", "555-0199")):
        triage("phone", text, "--from", "Mrs Alder", "--number", number)
    assert [p["thread"] for p in triage("show", 2, "--json").json["prior"]] == [1]
    assert triage("show", 3, "--json").json["prior"] == []
    assert "by phone" in triage("show", 2).out


class TestChanged:
    @pytest.fixture(autouse=True)
    def asked(self, stocked: Stocked) -> None:
        stocked([mail(1, QUESTION)])

    def sent(self, triage: Triage, folder: Path, *, quoted: str = "") -> str:
        """The draft, opened in a mail program and changed there; what was changed, as kept."""
        triage("reply", 1, "--to", folder / "reply.eml")
        made = message_from_bytes((folder / "reply.eml").read_bytes(), policy=default)
        made.set_content(f"Good day,\n\nplease ring us.\n\n{made.get_content()}{quoted}")
        (folder / "sent.eml").write_bytes(made.as_bytes())
        triage("sent", 1, "--mail", folder / "sent.eml")
        (reply,) = triage("show", 1, "--json").json["replies"]
        assert reply["draft"] == 1
        return str(reply["changed"])

    def test_what_a_person_changed_is_kept_and_shown(self, triage: Triage, tmp_path: Path) -> None:
        changed = self.sent(triage, tmp_path)
        assert changed.startswith("--- draft 1\n+++ sent\n") and "\n+please ring us." in changed
        assert not [line for line in changed.splitlines()[2:] if line.startswith("-")]
        assert "    +please ring us." in triage("history", 1).out.splitlines()
        assert "+please ring us." in triage("show", 1).out
        (line,) = triage("store", "export").out.splitlines()
        assert json.loads(line)["replies"][0]["changed"] == changed

    def test_the_askers_mail_quoted_below_is_no_change(self, triage: Triage, tmp_path: Path) -> None:
        quoted = "\n\nOn Mon, 9 Nov 2026 at 08:01, Ida Fen <ida@mail.example> wrote:\n> " + QUESTION
        assert "Which part is it" not in self.sent(triage, tmp_path, quoted=quoted)

    def test_a_draft_sent_as_it_is_has_no_change(self, triage: Triage) -> None:
        triage("sent", 1)
        assert triage("show", 1, "--json").json["replies"][0]["changed"] == ""

    def test_the_export_goes_to_a_file(self, triage: Triage, tmp_path: Path) -> None:
        assert "1 thread written" in triage("store", "export", "--to", tmp_path / "all.jsonl").out
        assert json.loads((tmp_path / "all.jsonl").read_text("utf-8"))["thread"] == 1


class TestStyles:
    @pytest.fixture(autouse=True)
    def asked(self, stocked: Stocked) -> None:
        stocked([mail(1, QUESTION)])

    def draft(self, triage: Triage, style: str) -> str:
        return str(triage("show", 1, "--style", style, "--json").json["draft"])

    def test_each_style_words_it_its_own_way(self, triage: Triage) -> None:
        mail_, chat, aloud = (self.draft(triage, style) for style in ("mail", "chat", "aloud"))
        assert mail_ == triage("show", 1, "--json").json["draft"]
        assert len(chat.split()) < len(mail_.split())
        assert "forty-eight volts" in aloud and "48 V" in chat
        assert " ".join(chat.split()[:8]) in " ".join(triage("show", 1, "--style", "chat").out.split())

    @pytest.mark.parametrize("style", ["mail", "chat", "aloud"])
    def test_one_question_in_a_style(self, triage: Triage, style: str) -> None:
        body = triage("read", "--json", "--style", style, "--from", "Ida Fen", stdin=QUESTION).json["draft"]["body"]
        assert ("forty-eight" in body) == (style == "aloud") and "Ida" in body

    def test_a_batch_in_a_style(self, triage: Triage, tmp_path: Path) -> None:
        (tmp_path / "in.jsonl").write_text(json.dumps({"text": QUESTION}))
        triage("read", "--style", "aloud", "--jsonl", tmp_path / "in.jsonl", "--out", tmp_path / "out.jsonl")
        assert "forty-eight" in json.loads((tmp_path / "out.jsonl").read_text("utf-8"))["draft"]["body"]

    def test_a_reply_to_be_told_is_plain_words_and_the_draft_it_was_made_from(
        self, triage: Triage, tmp_path: Path
    ) -> None:
        triage("reply", 1, "--style", "aloud", "--to", tmp_path / "reply.txt")
        assert (tmp_path / "reply.txt").read_text("utf-8").rstrip("\n") == self.draft(triage, "aloud")
        triage("told", 1)
        (reply,) = triage("show", 1, "--json").json["replies"]
        assert (reply["draft"], reply["changed"]) == (2, "")

    def test_without_a_file_it_is_printed(self, triage: Triage) -> None:
        assert triage("reply", 1, "--style", "chat").out.strip() == self.draft(triage, "chat")
        assert triage("reply", 1, "--style", "chat").out.strip() == self.draft(triage, "chat")
        whats = [entry["what"] for entry in triage("history", 1, "--json").json]
        assert whats.count("draft saved") == 2  # the same words are not kept twice

    def test_a_style_that_is_none(self, triage: Triage) -> None:
        assert "'mail', 'chat', 'aloud'" in triage("reply", 1, "--style", "fax", code=2).err


def test_a_reply_names_the_id_in_the_mails_own_header(triage: Triage, tmp_path: Path) -> None:
    """RFC 5322 section 3.6.4, also where two different mails came under one Message-ID."""
    twice = mail(1, "And my 48 volt cart squeaks.")
    triage("take-in", mbox(tmp_path / "a.mbox", [mail(1, QUESTION), twice]))
    ids = [message["id"] for message in triage("show", 1, "--json").json["messages"]]
    assert any("~" in id for id in ids)
    triage("reply", 1, "--to", tmp_path / "reply.eml")
    made = message_from_bytes((tmp_path / "reply.eml").read_bytes(), policy=default)
    assert made["In-Reply-To"] == "<m1@mail.example>" and "~" not in made["References"]

"""What can be wrong with what is given: the exact exit code, and words that say what, where and what to do."""

from __future__ import annotations

import base64
import os
import random
import shutil
import sqlite3
import time
import zipfile
from datetime import UTC, datetime
from pathlib import Path

import pytest

from triage.pipeline import UNREAD_TAIL
from triage.store import Store

from .conftest import Stocked, Triage
from .mailbox import mail, mbox

QUESTION = "My 48 volt cart only clicks."


@pytest.fixture(autouse=True)
def small(monkeypatch: pytest.MonkeyPatch, small_shop: Path) -> None:
    monkeypatch.setenv("TRIAGE_PACK", str(small_shop))


class TestReading:
    @pytest.mark.parametrize("given", [b"", b" \n\t\n", b"\0\0\0", b"\xef\xbb\xbf\n"])
    def test_nothing(self, triage: Triage, given: bytes) -> None:
        assert "standard input: there is no text to read. Give" in triage("read", stdin=given, code=1).err

    def test_too_much(self, triage: Triage, tmp_path: Path) -> None:
        (tmp_path / "big.txt").write_bytes(b"cart " * 200_001)
        err = triage("read", tmp_path / "big.txt", code=1).err
        assert "big.txt: holds more than 1 MB" in err and "triage take-in" in err

    def test_a_picture(self, triage: Triage, tmp_path: Path) -> None:
        (tmp_path / "a.jpg").write_bytes(b"\xff\xd8\xff\xe0" + random.Random(1).randbytes(20_000))
        assert "a.jpg: is not text" in triage("read", tmp_path / "a.jpg", code=1).err

    @pytest.mark.parametrize(
        ("given", "expected"),
        [
            pytest.param("Der Caddy für 48 V – läuft nicht".encode("cp1252"), "für 48 V – läuft", id="cp1252"),
            pytest.param("My cart is 48 V – “slow”".encode("utf-16"), "48 V – “slow”", id="utf-16"),
            pytest.param(b"My\0cart\0is 48 V", "My cart is 48 V", id="null-bytes"),
            pytest.param("My cart is 48 V\r\nand slow".encode("utf-8-sig"), "My cart is 48 V\nand slow", id="mark"),
        ],
    )
    def test_text_in_another_charset_is_read(self, triage: Triage, given: bytes, expected: str) -> None:
        ran = triage("read", stdin=given)
        assert expected.split("\n")[0] in ran.out
        assert [f["value"] for f in triage("read", "--json", stdin=given).json["facts"] if f["name"] == "pack_voltage"]

    @pytest.mark.parametrize(
        ("name", "what"),
        [("nowhere.txt", "nowhere.txt: No such file or directory. Check the name"), (".", "Is a directory")],
    )
    def test_no_file(self, triage: Triage, tmp_path: Path, name: str, what: str) -> None:
        assert what in triage("read", tmp_path / name, code=1).err


class TestBatch:
    def test_broken_lines_are_named_with_line_and_column(self, triage: Triage, tmp_path: Path) -> None:
        source = tmp_path / "in.jsonl"
        source.write_text('{"text": "fine"}\n{"text": "broken}\n[1]\n{"id": 3}\n' + "[" * 100_000 + "\n")
        err = triage("read", "--jsonl", source, "--out", tmp_path / "out.jsonl", code=1).err
        assert f"{source}:2:10: not JSON" in err
        assert f'{source}:3:1: no "text"' in err
        assert f'{source}:4:1: no "text"' in err
        assert f"{source}:5:1: " in err
        assert "Mend these lines" in err
        assert sorted(os.listdir(tmp_path)) == ["in.jsonl"]

    @pytest.mark.parametrize("options", [["--jsonl", "in.jsonl"], ["--out", "out.jsonl"]])
    def test_one_without_the_other(self, triage: Triage, options: list[str]) -> None:
        assert "--jsonl and --out belong together" in triage("read", *options, code=2).err

    def test_the_questions_are_not_overwritten(self, triage: Triage, tmp_path: Path) -> None:
        (tmp_path / "in.jsonl").write_text('{"text": "fine"}\n')
        err = triage("read", "--jsonl", tmp_path / "in.jsonl", "--out", tmp_path / "." / "in.jsonl", code=2).err
        assert "would overwrite the questions" in err

    def test_a_folder_that_is_not_there(self, triage: Triage, tmp_path: Path) -> None:
        (tmp_path / "in.jsonl").write_text('{"text": "fine"}\n')
        target = tmp_path / "nowhere" / "out.jsonl"
        err = triage("read", "--jsonl", tmp_path / "in.jsonl", "--out", target, code=1).err
        assert f"{target}: No such file" in err

    def test_no_questions(self, triage: Triage, tmp_path: Path) -> None:
        assert (
            "none.jsonl: No such file" in triage("read", "--jsonl", tmp_path / "none.jsonl", "--out", "x", code=1).err
        )


class TestTakingIn:
    def test_a_zip_in_place_of_a_mailbox(self, triage: Triage, tmp_path: Path, store: Path) -> None:
        with zipfile.ZipFile(tmp_path / "inbox.mbox", "w") as archive:
            archive.writestr("inbox", "From a\n")
        good = mbox(tmp_path / "good.mbox", [mail(1, QUESTION)])
        err = triage("take-in", good, tmp_path / "inbox.mbox", code=1).err
        assert "inbox.mbox: is a zip archive: unpack it" in err
        assert not store.exists()  # every source is looked at before anything is kept

    @pytest.mark.parametrize(
        ("content", "what"),
        [
            (b"\x89PNG\r\n\x1a\n" + b"\0" * 100, "is a picture"),
            (b"SQLite format 3\x00" + b"\0" * 100, "is a database"),
            (b"\x7fELF" + bytes(range(256)), "is not an mbox file"),
            (b"<html><body>mail</body></html>", "is a web page"),
        ],
    )
    def test_something_else(self, triage: Triage, tmp_path: Path, content: bytes, what: str) -> None:
        (tmp_path / "thing").write_bytes(content)
        assert f"thing: {what}" in triage("take-in", tmp_path / "thing", code=1).err

    def test_no_file(self, triage: Triage, tmp_path: Path) -> None:
        assert "nowhere: there is no such file or folder" in triage("take-in", tmp_path / "nowhere", code=1).err

    def test_an_unreadable_file_keeps_what_came_before(self, triage: Triage, tmp_path: Path) -> None:
        folder = tmp_path / "mails"
        folder.mkdir()
        (folder / "a.eml").write_bytes(mail(1, QUESTION))
        (folder / "b.eml").symlink_to("/proc/self/mem")  # opens, and then cannot be read, even by root
        err = triage("take-in", "--only-keep", folder, code=1).err
        assert f"{folder}: Input/output error" in err
        assert triage("counts", "--json").json["new"] == 1

    @pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
    def test_a_file_without_permission(self, triage: Triage, tmp_path: Path) -> None:
        box = mbox(tmp_path / "a.mbox", [mail(1, QUESTION)])
        box.chmod(0)
        assert "a.mbox: Permission denied. Check the name, and that you may read" in triage("take-in", box, code=1).err

    def test_a_mail_of_50_megabytes_of_words(self, triage: Triage, tmp_path: Path, store: Path) -> None:
        """Its beginning is read, in bounded time; every byte is kept."""
        head = b"From: a@mail.example\nSubject: story\nMessage-ID: <long@mail.example>\n\n"
        story = head + b"My 48 volt cart clicks. " + b"It was a long day, and the cart was slow again. " * 1_050_000
        (tmp_path / "long.eml").write_bytes(story)
        start = time.monotonic()
        assert triage("take-in", tmp_path / "long.eml", "--json").json["read"] == 1
        assert time.monotonic() - start < 60
        (message,) = triage("show", 1, "--json").json["messages"]
        assert UNREAD_TAIL in message["notes"]
        assert UNREAD_TAIL in triage("show", 1).out.replace("\n  ", " ")
        with Store.open(store, now=lambda: datetime.now(UTC)) as queue:
            assert queue.raw("long@mail.example") == story

    def test_a_mail_with_a_large_binary_attachment(self, triage: Triage, tmp_path: Path) -> None:
        picture = base64.encodebytes(random.Random(2).randbytes(4_000_000))
        parts = b'MIME-Version: 1.0\nContent-Type: multipart/mixed; boundary="x"\n\n--x\n\n' + QUESTION.encode()
        head = b"From: a@mail.example\nSubject: photo\nMessage-ID: <big@mail.example>\n"
        body = (
            b"\n--x\nContent-Type: image/jpeg; name=a.jpg\nContent-Transfer-Encoding: base64\n\n" + picture + b"--x--\n"
        )
        (tmp_path / "big.eml").write_bytes(head + parts + body)
        assert triage("take-in", tmp_path / "big.eml", "--json").json["new"] == 1
        page = triage("show", 1).out
        assert QUESTION in page and "a.jpg, 4.0 MB" in page

    def test_an_empty_mail_is_set_aside_and_not_taken_for_a_mailbox(self, triage: Triage, tmp_path: Path) -> None:
        (tmp_path / "nothing.eml").write_bytes(b"\n")
        assert triage("take-in", tmp_path / "nothing.eml", "--json").json["set_aside"] == 1
        assert "nothing.eml: is empty" in triage("unreadable").out

    def test_a_mail_above_the_bound_is_set_aside(self, triage: Triage, tmp_path: Path) -> None:
        with (tmp_path / "huge.eml").open("wb") as huge:
            huge.write(b"From: a@mail.example\nSubject: x\n\nMy cart")
            huge.truncate(70_000_000)  # the rest is nothing, and takes no room on the disk
        assert triage("take-in", tmp_path / "huge.eml", "--json").json["set_aside"] == 1
        assert "64 MiB" in triage("unreadable").out

    @pytest.mark.parametrize(
        ("head", "body", "said"),
        [
            pytest.param("", b"My cart\0 clicks", "My cart clicks", id="null-bytes"),
            pytest.param(
                "Content-Type: text/plain; charset=utf-8\n", "Er fährt – nicht".encode("cp1252"), "Er fährt – nicht",
                id="wrong-charset",
            ),
            pytest.param("Content-Type: text/plain; charset=none\n", "Er fährt".encode(), "Er fährt", id="no-charset"),
        ],
    )  # fmt: skip
    def test_damaged_text_is_mended(self, triage: Triage, tmp_path: Path, head: str, body: bytes, said: str) -> None:
        (tmp_path / "a.eml").write_bytes(b"From: a@mail.example\nSubject: x\n" + head.encode() + b"\n" + body)
        triage("take-in", tmp_path / "a.eml")
        assert said in triage("show", 1).out

    def test_no_words_on_the_phone(self, triage: Triage) -> None:
        assert "There are no words" in triage("phone", " ", code=1).err

    def test_columns_that_are_not_there(self, triage: Triage, tmp_path: Path) -> None:
        (tmp_path / "a.csv").write_text("wer,was\nIda,Wasser?\n")
        err = triage("take-in", tmp_path / "a.csv", code=1).err
        assert "a.csv, row 1: no column" in err and "Say what they mean in" in err


class TestPack:
    def test_no_folder(self, triage: Triage, tmp_path: Path) -> None:
        err = triage("read", "--pack", tmp_path / "nowhere", stdin=QUESTION, code=1).err
        assert "nowhere" in err and "triage pack new" in err

    def test_twice_the_same_id(self, triage: Triage, tmp_path: Path, small_shop: Path) -> None:
        pack = tmp_path / "twice"
        shutil.copytree(small_shop, pack)
        answers = pack / "shop" / "answers"
        shutil.copy(answers / "example.md", answers / "second.md")
        for command in (["pack", "check", "--pack", pack], ["read", "--pack", pack]):
            ran = triage(*command, stdin=QUESTION, code=1)
            assert "second.md:" in ran.out + ran.err and "example-plate" in ran.out + ran.err

    def test_two_packs_that_build_on_each_other(self, triage: Triage, tmp_path: Path, small_shop: Path) -> None:
        for one, other in (("a", "b"), ("b", "a")):
            shutil.copytree(small_shop, tmp_path / one)
            with (tmp_path / one / "shop" / "shop.yaml").open("a") as shop:
                shop.write(f"\nextends: ../{other}\n")
        ran = triage("read", "--pack", tmp_path / "a", stdin=QUESTION, code=1)
        assert "shop.yaml" in ran.err and "extends" in ran.err


class TestStore:
    def test_none_there(self, triage: Triage, store: Path) -> None:
        err = triage("queue", code=3).err
        assert f"There is no store at {store}" in err and "take something in" in err
        assert not store.exists()

    def test_of_another_program(self, triage: Triage, store: Path) -> None:
        with sqlite3.connect(store) as other:
            other.execute("create table recipes (name text)")
        before = store.read_bytes()
        assert "database of another program" in triage("queue", code=3).err
        assert "database of another program" in triage("phone", "It clicks.", code=3).err
        assert store.read_bytes() == before

    def test_no_database(self, triage: Triage, store: Path) -> None:
        store.write_text("Dear diary, " * 500)
        assert "is not a store of this program" in triage("queue", code=3).err

    def test_a_folder(self, triage: Triage, tmp_path: Path) -> None:
        assert "is a folder. Name a file" in triage("queue", "--store", tmp_path, code=3).err

    def test_a_locked_one(self, triage: Triage, store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setitem(Store.open.__func__.__kwdefaults__, "busy_seconds", 0.2)  # type: ignore[attr-defined]
        box = mbox(tmp_path / "a.mbox", [mail(1, QUESTION)])
        triage("take-in", "--only-keep", box)
        other = sqlite3.connect(store)
        other.execute("begin immediate")
        assert "another program is writing" in triage("note", 1, "a note", code=4).err
        assert "note" not in [entry["what"] for entry in triage("history", 1, "--json").json]  # looking is free
        other.rollback()
        other.close()
        triage("note", 1, "a note")


class TestThread:
    @pytest.fixture(autouse=True)
    def thread(self, stocked: Stocked) -> None:
        stocked([mail(1, QUESTION)])

    @pytest.mark.parametrize("command", ["show", "history", "settle", "undo", "told", "sent", "aside", "reopen"])
    def test_not_there(self, triage: Triage, command: str) -> None:
        assert "There is no thread 7" in triage(command, 7, code=1).err

    def test_not_a_number(self, triage: Triage) -> None:
        assert "valid integer" in triage("show", "seven", code=2).err

    def test_a_move_that_is_not_allowed(self, triage: Triage) -> None:
        triage("settle", 1)
        assert "Reopen it first" in triage("told", 1, "it is the fuse", code=1).err

    def test_a_fact_on_a_settled_thread_changes_nothing(self, triage: Triage) -> None:
        triage("settle", 1)
        before = triage("history", 1, "--json").json
        assert "triage reopen 1" in triage("fact", 1, "year=2014", code=1).err
        assert triage("history", 1, "--json").json == before

    def test_nothing_to_undo(self, triage: Triage) -> None:
        triage("undo", 1)
        assert "no change of state to take back" in triage("undo", 1, code=1).err

    @pytest.mark.parametrize(
        ("given", "what"),
        [
            ("pack_volts=48", "there is no fact 'pack_volts'. Did you mean 'pack_voltage'"),
            ("pack_voltage", "is not NAME=VALUE"),
            ("pack_voltage=lots", "not a number in V"),
            ("pack_voltage=4800", "outside"),
            ("powertrain=steam", "not one of its values"),
            ("symptom=clicks_no_mov", "Did you mean 'clicks_no_move'"),
            ("year!=", "say what it is not"),
            ("=48", "there is no fact ''"),
        ],
    )
    def test_facts_that_are_none(self, triage: Triage, given: str, what: str) -> None:
        before = triage("history", 1, "--json").json
        err = triage("fact", 1, "lift=3", given, code=1).err
        assert what in err and "Nothing was changed" in err
        assert triage("history", 1, "--json").json == before

    def test_taking_back_what_nobody_set(self, triage: Triage) -> None:
        assert "Nobody set the fact year" in triage("fact", 1, "year=", code=1).err

    def test_nobody_to_write_to(self, triage: Triage, tmp_path: Path) -> None:
        triage("phone", "Does it need water?", "--from", "Mrs Alder")
        err = triage("reply", 2, "--to", tmp_path / "a.eml", code=1).err
        assert "Mrs Alder left no mail address" in err and "triage told 2" in err
        assert not (tmp_path / "a.eml").exists()

    def test_no_draft(self, triage: Triage, tmp_path: Path) -> None:
        triage("take-in", "--only-keep", mbox(tmp_path / "b.mbox", [mail(2, QUESTION, subject="other")]))
        assert "triage queue --read" in triage("reply", 2, "--to", tmp_path / "a.eml", code=1).err
        assert "say in quotes what was told" in triage("told", 2, code=1).err

    def test_a_sent_mail_without_words(self, triage: Triage, tmp_path: Path) -> None:
        (tmp_path / "a.eml").write_bytes(b"\x00\x01")
        assert "holds no mail with words" in triage("sent", 1, "--mail", tmp_path / "a.eml", code=1).err
        assert "not both" in triage("sent", 1, "words", "--mail", tmp_path / "a.eml", code=2).err

    def test_an_unknown_option_and_command(self, triage: Triage) -> None:
        assert "--colour" in triage("queue", "--colour", code=2).err
        assert "No such command" in triage("list", code=2).err
        assert "NAME=VALUE" in triage("queue", "--fact", "48", code=2).err

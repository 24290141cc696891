"""triage mailbox, backup, restore and forget, as a person types them."""

from __future__ import annotations

import json
import os
import re
import signal
import sqlite3
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import keyring
import pytest
from keyring.backend import KeyringBackend
from letters import as_sent, letter, many
from mail_server import PASSWORD, USER
from shop_mailbox import PASSWORD_ENV, Program

from triage.cli.app import run


class Pocket(KeyringBackend):
    """A keyring that lives as long as the test."""

    priority = 1

    def __init__(self):
        super().__init__()
        self.kept = {}

    def set_password(self, service, username, password):
        self.kept[service, username] = password

    def get_password(self, service, username):
        return self.kept.get((service, username))

    def delete_password(self, service, username):
        if self.kept.pop((service, username), None) is None:
            raise keyring.errors.PasswordDeleteError("not there")


@dataclass
class Ran:
    out: str
    err: str


@pytest.fixture
def file(tmp_path):
    return tmp_path / "queue.db"


@pytest.fixture
def triage(capsys, monkeypatch, file, small_shop):
    """Run a command in this process; the exit code must be the one expected."""
    monkeypatch.setenv("TRIAGE_STORE", str(file))
    monkeypatch.setenv("TRIAGE_PACK", str(small_shop))
    monkeypatch.setenv("TRIAGE_USER", "wyn")

    def running(*arguments, answers=(), code=0):
        given = list(answers)
        monkeypatch.setattr("typer.prompt", lambda *_, **__: given.pop(0))
        monkeypatch.setattr("typer.confirm", lambda *_, **__: True)
        capsys.readouterr()
        ended = run([str(argument) for argument in arguments])
        out, err = capsys.readouterr()
        assert ended == code, f"exit code {ended}\n{out}\n{err}"
        assert "Traceback" not in err
        return Ran(out, err)

    return running


def add(triage, dovecot, *more, **how):
    return triage(
        "mailbox", "add", "--host", "localhost", "--port", dovecot.port, "--user", USER, "--ca-file", dovecot.ca_file,
        "--name", "shop", *more, **how,
    )  # fmt: skip


@pytest.fixture
def added(triage, dovecot):
    add(triage, dovecot, "--password-env", PASSWORD_ENV)


def bytes_of(file: Path) -> bytes:
    return b"".join(part.read_bytes() for part in file.parent.glob(f"{file.name}*"))


@pytest.fixture
def pocket():
    before, mine = keyring.get_keyring(), Pocket()
    keyring.set_keyring(mine)
    yield mine
    keyring.set_keyring(before)


def test_the_password_goes_to_the_keyring_and_never_into_the_store(triage, dovecot, file, pocket):
    page = add(triage, dovecot, answers=[PASSWORD])
    assert pocket.kept == {("cart-triage", f"{USER}@localhost"): PASSWORD}
    assert PASSWORD.encode() not in bytes_of(file) and PASSWORD not in page.out + page.err
    dovecot.deliver(many(2))
    assert "2 new" in triage("mailbox", "pull", "--only-keep").out
    triage("mailbox", "remove", "shop")
    assert pocket.kept == {}


def test_host_and_account_are_asked_for(triage, dovecot, pocket):
    answers = ["localhost", USER, PASSWORD]
    triage("mailbox", "add", "--port", dovecot.port, "--ca-file", dovecot.ca_file, answers=answers)
    assert USER in triage("mailbox", "list").out


def test_where_there_is_no_keyring_the_way_out_is_said(triage, dovecot):
    from keyring.backends import fail

    before = keyring.get_keyring()
    keyring.set_keyring(fail.Keyring())
    try:
        assert "--password-env" in add(triage, dovecot, answers=[PASSWORD], code=6).err
    finally:
        keyring.set_keyring(before)
    assert "No mailbox yet" in triage("mailbox", "list").out


def test_a_wrong_password_adds_nothing(triage, dovecot, pocket):
    assert "password is not right" in add(triage, dovecot, answers=["wrong"], code=6).err
    assert pocket.kept == {} and "No mailbox yet" in triage("mailbox", "list").out


def test_the_folders_for_drafts_and_sent_mail_are_found_by_themselves(triage, added):
    """RFC 6154: the server marks them."""
    (line,) = json.loads(triage("mailbox", "list", "--json").out)
    assert (line["drafts"], line["sent"], line["from"]) == ("Drafts", "Sent", "INBOX")


def test_a_folder_that_is_not_there_is_said_with_those_that_are(triage, dovecot):
    err = add(triage, dovecot, "--password-env", PASSWORD_ENV, "--folder", "Questions", code=1).err
    assert "no folder 'Questions'" in err and "Drafts, INBOX, Sent" in err


def test_a_keyword_is_no_flag_of_the_mail_system(triage, dovecot):
    assert (
        "cannot be a keyword" in add(triage, dovecot, "--password-env", PASSWORD_ENV, "--keyword", r"\Seen", code=1).err
    )


def test_check_says_what_is_there_and_changes_nothing(triage, added, dovecot, person):
    dovecot.deliver(many(3))
    page = triage("mailbox", "check").out
    assert "logged in at localhost" in page and "TLSv1." in page
    assert "INBOX: 3 messages" in page and "IDLE): yes" in page
    assert person.flags("INBOX") == [(), (), ()]


def test_added_again_it_changes_what_is_named_and_goes_on_where_it_was(triage, added, dovecot):
    dovecot.deliver(many(2))
    triage("mailbox", "pull", "--only-keep")
    triage("mailbox", "add", "--name", "shop", "--port", dovecot.port, "--keyword", "TakenIn")
    dovecot.deliver(many(1, first=2))
    assert "shop: 1 new." in triage("mailbox", "pull", "--only-keep").out


def test_mail_of_the_last_days_only_unless_asked_otherwise(triage, dovecot, person):
    add(triage, dovecot, "--password-env", PASSWORD_ENV)
    assert re.search(r"since 20\d\d-\d\d-\d\d", triage("mailbox", "list").out)
    triage("mailbox", "remove", "shop")
    add(triage, dovecot, "--password-env", PASSWORD_ENV, "--days", "0")
    assert "since" not in triage("mailbox", "list").out


def test_a_name_nobody_knows_is_said(triage, added):
    assert "Known: shop" in triage("mailbox", "pull", "nowhere", code=1).err


def test_trouble_with_one_mailbox_does_not_hold_up_the_others(triage, added, dovecot, tmp_path):
    (tmp_path / "exports").mkdir()
    triage("mailbox", "add-folder", tmp_path / "exports", "--name", "a-form")
    (tmp_path / "exports").rmdir()
    dovecot.deliver(many(1))
    ran = triage("mailbox", "pull", "--only-keep", code=6)
    assert "shop: 1 new" in ran.out and "no such folder" in ran.err


@pytest.mark.parametrize("command", ["pull", "check", "watch"])
def test_where_there_is_no_mailbox_yet_it_is_said(triage, file, command, tmp_path):
    triage("phone", "My cart clicks.", "--from", "Ida Fen")
    assert "triage mailbox add" in triage("mailbox", command, code=1).err


def test_a_folder_of_exports(triage, tmp_path, file):
    (tmp_path / "exports").mkdir()
    triage("mailbox", "add-folder", tmp_path / "exports", "--name", "form")
    good, bad = tmp_path / "exports" / "a.csv", tmp_path / "exports" / "b.csv"
    good.write_text("name,email,text\nOdd Marl,odd@post.example,My cart is slow uphill.\n")
    bad.write_text("a,b\n1,2\n")
    for path in (good, bad):
        os.utime(path, (time.time() - 60,) * 2)
    assert "1 new, 1 set aside" in triage("mailbox", "pull", "--only-keep").out
    assert "0 new" in triage("mailbox", "pull", "--only-keep").out
    assert "b.csv" in triage("unreadable").out
    (tmp_path / "exports" / "b.columns.yaml").write_text("text: b\n")
    assert "1 new" in triage("mailbox", "pull", "--only-keep").out


def test_backup_restore_and_forget(triage, added, dovecot, file, tmp_path):
    dovecot.deliver(many(3))
    triage("mailbox", "pull", "--only-keep")
    copy = tmp_path / "copy.db"
    assert "3 threads, 3 messages" in triage("backup", copy).out
    assert "is there already" in triage("backup", copy, code=1).err
    page = triage("forget", "a1@mail.example", "--dry-run").out
    assert "1 thread, 1 message" in page
    assert triage("forget", "a1@mail.example").out.startswith("To be removed: Asker 1 <a1@mail.example>")
    assert b"number 1 clicks" not in bytes_of(file)
    page = triage("restore", copy).out
    assert "3 threads and 3 messages again" in page and "before is in" in page
    assert len(list(tmp_path.glob("queue.db.before-*"))) == 1
    assert "number 1" in triage("show", "2").out


def test_restoring_what_is_no_copy_changes_nothing(triage, added, file, tmp_path):
    (tmp_path / "letter.txt").write_text("not a copy at all, but long enough to look at it " * 40)
    assert "not a store" in triage("restore", tmp_path / "letter.txt", code=3).err
    assert "shop" in triage("mailbox", "list").out


COMMANDS = (
    "mailbox mailbox/add mailbox/add-folder mailbox/list mailbox/check mailbox/pull mailbox/watch mailbox/remove "
    "backup restore forget"
).split()


@pytest.mark.parametrize("command", COMMANDS)
def test_help_fits_80_columns_and_every_option_says_what_it_does(triage, command):
    page = triage(*command.split("/"), "--help").out
    assert all(len(line) <= 80 for line in page.splitlines())
    for line in page.splitlines():
        assert not re.fullmatch(r"  --?[\w-]+( <[\w ]+>)?", line), f"an option without help: {line}"


@pytest.fixture
def watching(added, file, small_shop):
    """`triage mailbox watch` in a process of its own."""
    command = [sys.executable, "-c", "from triage.cli import main; main()", "mailbox", "watch"]
    child = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=os.environ)
    yield child
    if child.poll() is None:
        child.kill()
    child.communicate()


@pytest.mark.parametrize("sign", [signal.SIGINT, signal.SIGTERM])
def test_watching_takes_in_and_stops_cleanly(watching, dovecot, file, sign):
    assert watching.stdout.readline().startswith("Watching shop")
    dovecot.deliver(many(2))
    assert "2 new" in watching.stdout.readline()
    watching.send_signal(sign)
    out, err = watching.communicate(timeout=60)
    assert (watching.returncode, out, err) == (0, "Stopped.\n", "")
    with sqlite3.connect(file) as looking:
        assert looking.execute("pragma integrity_check").fetchone() == ("ok",)
    looking.close()


def test_a_day(triage, dovecot, added, monkeypatch, file):
    """Mail pulled, read, drafted; one reply sent from a mail program, recognised; the asker content; settled."""
    monkeypatch.delenv("TRIAGE_PACK")  # the demo shop
    dovecot.deliver(
        [letter(1), letter(2, "Which tyres fit my Ridge?", sender="Odd Marl <odd@post.example>", subject="Tyres")]
    )
    assert "2 new, 2 read, 2 drafts laid" in triage("mailbox", "pull").out
    person = Program(dovecot)
    ((uid, mail), *_) = person.mails("Drafts").items()
    person.put("Sent", as_sent(mail))
    person.delete("Drafts", uid)
    assert "1 found sent" in triage("mailbox", "pull").out
    dovecot.deliver([letter(3, "It was the solenoid. Thank you!", answers=("sent-1@harrowlane.example",), day=26)])
    assert "1 new, 1 read" in triage("mailbox", "pull").out
    triage("settle", "1", "the solenoid")
    assert "1 drafts taken out" in triage("mailbox", "pull").out
    assert "settled" in triage("show", "1").out
    assert len(person.mails("Drafts")) == 1
    person.imap.shutdown()

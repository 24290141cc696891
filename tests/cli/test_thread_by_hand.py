"""One thread from its first mail to its settling, worked with the real program and the demo shop."""

from __future__ import annotations

from email import message_from_bytes
from email.message import EmailMessage
from email.policy import default
from pathlib import Path

import pytest

from .conftest import Triage, ended
from .mailbox import mail, mbox

FIRST = "Hello, my 2012 Tarvik Lark has six batteries of 8 volts. It only clicks and will not go. Lead acid. Ida"
CORRECTION = "Sorry, I looked again: it is a 2014, not a 2012. And I tightened the battery cables yesterday. Ida"
OTHER = "Which wheel nuts fit my Hollin Tern from 2001? It is the petrol one. Odd"
ODD = "Odd Märl <odd@post.example>"


@pytest.fixture
def mailbox(tmp_path: Path) -> Path:
    """Three mails: a question, its correction, and the question of somebody else."""
    return mbox(
        tmp_path / "inbox.mbox",
        [
            mail(1, FIRST),
            mail(2, OTHER, sender=ODD, subject="Wheel nuts – which?"),
            mail(3, CORRECTION, subject="Re: Cart clicks", answers=("m1@mail.example",)),
        ],
    )


def number_of(triage: Triage, asker: str) -> int:
    (row,) = triage("queue", "--all", "--asker", asker, "--json").json
    return int(row["thread"])


def facts_of(triage: Triage, thread: int) -> dict[str, list[tuple[object, str]]]:
    found: dict[str, list[tuple[object, str]]] = {}
    for reading in triage("show", thread, "--json").json["readings"]:
        for fact in reading["facts"]:
            found.setdefault(fact["name"], []).append((fact["value"], fact["standing"]))
    return found


def parsed(eml: Path) -> EmailMessage:
    made = message_from_bytes(eml.read_bytes(), policy=default)
    assert isinstance(made, EmailMessage)
    return made


def test_from_the_first_mail_to_the_settling(triage: Triage, mailbox: Path, tmp_path: Path, process) -> None:
    told = triage("take-in", mailbox, "--json").json
    assert told == {"new": 3, "known": 0, "automatic": 0, "set_aside": 0, "read": 2}

    rows = triage("queue", "--json").json
    assert {row["asker"] for row in rows} == {"Ida Fen", "Odd Märl"}
    assert {row["state"] for row in rows} == {"ready"}
    ida = number_of(triage, "ida@")

    page = triage("show", ida).out
    assert "it is a 2014, not a 2012" in page
    assert facts_of(triage, ida)["year"][0] == (2014, "corrected")
    assert (2012, "denied") in facts_of(triage, ida)["year"]

    triage("fact", ida, "solenoid_click=yes", "controller=stock")
    assert ("yes", "stated") in facts_of(triage, ida)["solenoid_click"]

    eml = tmp_path / "reply.eml"
    triage("reply", ida, "--to", eml)
    reply = parsed(eml)
    # RFC 5322 section 3.6.4: the parent's references, then the parent
    assert reply["In-Reply-To"] == "<m3@mail.example>"
    assert reply["References"].split() == ["<m1@mail.example>", "<m3@mail.example>"]
    assert reply["Subject"] == "Re: Cart clicks"
    assert reply["To"].addresses[0].addr_spec == "ida@mail.example"
    assert reply["From"].addresses[0].addr_spec == "workshop@harrowlane.example"
    assert reply.get_content_charset() == "utf-8"
    assert reply.get_content().split() == triage("show", ida, "--json").json["draft"].split()

    triage("sent", ida, "--mail", eml, "--asks")
    assert triage("queue", "--all", "--asker", "ida@", "--json").json[0]["state"] == "waiting_for_asker"

    sent_id = reply["Message-ID"].strip("<>")
    text = "The solenoid clicks, and I measured 47.1 volts across the pack while it clicks. Ida"
    answer = mbox(tmp_path / "answer.mbox", [mail(9, text, subject="Re: Cart clicks", answers=(sent_id,))])
    assert triage("take-in", answer, "--json").json["new"] == 1
    assert number_of(triage, "ida@") == ida  # found by the id of the mail that we sent
    known = facts_of(triage, ida)
    assert known["year"][0][0] == 2014  # said two mails ago
    assert ("stock", "stated") in known["controller"]  # set by a person
    assert 47.1 in [value for value, _ in known["measurement"]]  # said now

    triage("told", ida, "Replace the solenoid; its contacts are burnt.")
    assert triage("counts", "--json").json["replied"] == 1
    triage("settle", ida, "New solenoid")
    assert triage("counts", "--json").json["settled"] == 1

    histories = [triage("history", n, "--json").json for n in (ida, number_of(triage, "odd@"))]
    whats = [entry["what"] for entry in histories[0]]
    assert whats.count("arrived") == 3
    assert whats.count("reply recorded") == 2

    again = ended(process("take-in", mailbox, answer, "--json"))  # the program started anew
    assert again.json == {"new": 0, "known": 4, "automatic": 0, "set_aside": 0, "read": 0}
    assert [triage("history", n, "--json").json for n in (ida, number_of(triage, "odd@"))] == histories


def test_the_reply_to_a_subject_and_name_beyond_ascii(triage: Triage, mailbox: Path, tmp_path: Path) -> None:
    triage("take-in", mailbox)
    triage("reply", number_of(triage, "odd@"), "--to", tmp_path / "odd.eml")
    reply = parsed(tmp_path / "odd.eml")
    assert reply["Subject"] == "Re: Wheel nuts – which?"
    assert reply["To"].addresses[0].display_name == "Odd Märl"
    assert all(byte < 128 for byte in (tmp_path / "odd.eml").read_bytes())  # RFC 5322: headers are ASCII on the way


def test_a_waiting_thread_is_not_called_ready_again_by_a_changed_pack(
    triage: Triage, tmp_path: Path, small_shop: Path
) -> None:
    box = mbox(tmp_path / "one.mbox", [mail(1, FIRST)])
    triage("take-in", box)
    triage("sent", 1, "Which year is it?", "--asks")
    triage("queue", "--read", "--pack", small_shop)
    assert triage("queue", "--json").json[0]["state"] == "waiting_for_asker"
    before = triage("history", 1, "--json").json
    triage("take-in", box, "--pack", small_shop)
    assert triage("history", 1, "--json").json == before


def test_a_ready_thread_is_read_again_with_a_changed_pack(triage: Triage, tmp_path: Path, small_shop: Path) -> None:
    triage("take-in", mbox(tmp_path / "one.mbox", [mail(1, FIRST)]))
    triage("queue", "--read", "--pack", small_shop)
    assert [entry["what"] for entry in triage("history", 1, "--json").json].count("reading saved") == 2

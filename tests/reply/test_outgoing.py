"""The reply as a mail: RFC 5322 headers and line lengths, threading, any script, and nothing let in by a newline."""

from __future__ import annotations

from datetime import UTC, datetime
from email import policy
from email.parser import BytesParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reply.making import pack
from triage.model import Address, Draft, Message, Sentence
from triage.reply.outgoing import ancestors, to_eml

NOW = datetime(2026, 11, 25, 10, 30, tzinfo=UTC)
IDA = Address("ida@mail.example", "Ida Fen")


def asked(**more) -> Message:
    return Message(**{"id": "m1@mail.example", "channel": "mail", "sender": IDA, **more})


def draft(subject: str = "Re: Cart clicks", body: str = "Hello Ida,") -> Draft:
    return Draft(subject, (Sentence(body, "wording:x"),))


def eml(reply: Draft | None = None, **more) -> bytes:
    message_id = "reply1@harrowlane.example"
    return to_eml(reply or draft(), asked(**more), pack().shop, now=NOW, message_id=message_id)


def parsed(raw: bytes):
    return BytesParser(policy=policy.default).parsebytes(raw)


def test_headers():
    mail = parsed(eml())
    assert mail["From"].addresses[0].addr_spec == "workshop@harrowlane.example"
    assert (mail["To"].addresses[0].display_name, mail["To"].addresses[0].addr_spec) == ("Ida Fen", "ida@mail.example")
    assert mail["Subject"] == "Re: Cart clicks" and mail["Message-ID"] == "<reply1@harrowlane.example>"
    assert mail["Date"].datetime == NOW and mail["X-Unsent"] == "1"
    assert mail.get_content_charset() == "utf-8"


@pytest.mark.parametrize(
    ("references", "in_reply_to", "chain"),
    [
        pytest.param((), (), ["m1"], id="first-mail"),
        pytest.param(("a", "b"), ("b",), ["a", "b", "m1"], id="references-and-it"),
        pytest.param((), ("a",), ["a", "m1"], id="in-reply-to-when-no-references"),
        pytest.param((), ("a", "b"), ["m1"], id="several-in-reply-to-are-no-chain"),
        pytest.param(("a", "m1"), (), ["a", "m1"], id="never-twice"),
    ],
)
def test_the_chain_of_rfc_5322_section_3_6_4(references, in_reply_to, chain):
    def ids(names):
        return tuple(f"{name}@mail.example" for name in names)

    mail = parsed(eml(references=ids(references), in_reply_to=ids(in_reply_to)))
    assert mail["In-Reply-To"] == "<m1@mail.example>"
    assert mail["References"].split() == [f"<{id}>" for id in ids(chain)]


def test_a_message_that_came_without_an_id_is_not_referred_to():
    mail = parsed(eml(id="sha256:abc"))
    assert mail["In-Reply-To"] is None and mail["References"] is None


def test_reply_to_goes_before_the_sender():
    mail = parsed(eml(reply_to=Address("desk@post.example")))
    assert mail["To"].addresses[0].addr_spec == "desk@post.example"


def test_without_an_address_it_says_to_tell_them_by_phone():
    with pytest.raises(ValueError, match=r"Ida Fen left no mail address: tell them by phone"):
        eml(sender=Address("", "Ida Fen"))


@pytest.mark.parametrize("name", ["Zoë Brøgger", "李小龍", "Ольга Ким", 'Fen, Ida "the cart"', "", "A" * 200], ids=repr)
def test_names_of_any_script_survive(name):
    assert parsed(eml(sender=Address("ida@mail.example", name)))["To"].addresses[0].display_name == name


@pytest.mark.parametrize("subject", ["Re: Größe der Reifen", "Re: 電池", "Re: " + "long words here " * 20], ids=repr)
def test_subjects_of_any_script_survive(subject):
    assert parsed(eml(draft(subject)))["Subject"].split() == subject.split()


@pytest.mark.parametrize("newline", ["\r\n", "\n", "\r", "\u2028", "\x0b", "\x85"], ids=repr)
def test_a_newline_in_subject_or_name_adds_no_header(newline):
    evil = f"Ida{newline}Bcc: all@mail.example"
    for raw in (eml(draft(f"Re: {evil}")), eml(sender=Address("ida@mail.example", evil))):
        mail = parsed(raw)
        assert mail["Bcc"] is None and not mail.defects
        assert not any(line.lower().startswith(b"bcc:") for line in raw.splitlines())


@pytest.mark.parametrize(
    "body", ["short", "word " * 400, "x" * 3000, "Größe 48 V – fünf °C " * 60, ".\n.\nFrom here", ""], ids=repr
)
def test_no_line_is_longer_than_rfc_5322_allows(body):
    """2.1.1: at most 998 characters, should be 78; CRLF at each end."""
    raw = eml(draft(body=body), references=tuple(f"{n}.some.long.identifier@mail.example" for n in range(40)))
    assert all(len(line) <= 78 for line in raw.split(b"\r\n"))
    assert raw.count(b"\n") == raw.count(b"\r\n") == raw.count(b"\r")


@given(st.text(st.characters(blacklist_categories=("Cs", "Cc")), max_size=400))
def test_the_words_come_out_as_they_went_in(text):
    content = parsed(eml(draft(body=text))).get_content()
    assert content.splitlines() == f"{text}\n".splitlines()


@given(st.text(max_size=60), st.text(max_size=60))
def test_no_subject_or_name_breaks_the_mail(subject, name):
    subject, name = (part.encode("utf-8", "ignore").decode() for part in (subject, name))
    mail = parsed(eml(draft(subject), sender=Address("ida@mail.example", name)))
    assert set(mail.keys()) == {
        "From", "To", "Subject", "Date", "Message-ID", "In-Reply-To", "References", "X-Unsent", "MIME-Version",
        "Content-Type", "Content-Transfer-Encoding",
    }  # fmt: skip
    assert mail.get_content().splitlines() == ["Hello Ida,"]


def test_the_chain_is_a_list_of_ids():
    assert ancestors(asked(references=("a@x",))) == ("a@x", "m1@mail.example")

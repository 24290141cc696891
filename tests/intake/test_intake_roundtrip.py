# ruff: noqa: E501 - the list of pieces reads better packed
"""Mail built by the standard library and read back; random bytes; CPython's own e-mail test messages."""

import importlib.util
from datetime import UTC, datetime
from email.message import EmailMessage
from email.utils import format_datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.intake import IntakeError, MalformedMessage, parse_message, read_source
from triage.model import Message

# Words without the marks that make a line quoted, a signature or a header: those have tests of their own.
WORDS = st.lists(st.from_regex(r"[a-zäöü電池][a-zäöü0-9,]{0,11}", fullmatch=True), min_size=1, max_size=8)
LINE = WORDS.map(" ".join)
BODY = st.lists(LINE, min_size=1, max_size=6).map("\n".join)
# Longer subjects than this lose a space in the standard library's own folding (between two encoded words).
SUBJECT = LINE.map(lambda line: " ".join(line[:12].split()))
NAME = st.from_regex(r"[А-Я][а-я]{1,8}( [А-Я][а-я]{1,8})?", fullmatch=True)  # a line of only the name signs
IDS = st.from_regex(r"[a-z0-9.]{1,20}@[a-z]{1,8}\.example", fullmatch=True)


def built(body: str, subject: str, name: str, message_id: str, refs: list[str], charset: str, cte: str) -> bytes:
    mail = EmailMessage()
    mail["From"] = f'"{name}" <jo@mail.example>'
    mail["To"] = "workshop@harrowlane.example"
    mail["Subject"] = subject
    mail["Date"] = format_datetime(datetime(2026, 1, 2, 10, tzinfo=UTC))
    mail["Message-ID"] = f"<{message_id}>"
    if refs:
        mail["References"] = " ".join(f"<{ref}>" for ref in refs)
    mail.set_content(body, charset=charset, cte=cte)
    return mail.as_bytes()


@given(BODY, SUBJECT, NAME, IDS, st.lists(IDS, max_size=4, unique=True),
       st.sampled_from(["utf-8", "gb18030"]), st.sampled_from(["base64", "quoted-printable"]))  # fmt: skip
def test_built_mail_reads_back(body, subject, name, message_id, refs, charset, cte):
    message = parse_message(built(body, subject, name, message_id, refs, charset, cte))
    assert (message.text, message.subject, message.sender.name) == (body, subject, name)
    assert (message.id, message.references) == (message_id, tuple(refs))
    assert message.sent == datetime(2026, 1, 2, 10, tzinfo=UTC)
    assert message.notes == ()


@given(BODY, st.binary(min_size=1, max_size=200))
def test_html_alternative_and_attachment_leave_the_text_alone(body, data):
    mail = EmailMessage()
    mail["Subject"] = "hum"
    mail.set_content(body)
    mail.add_alternative(f"<p>{body}</p>", subtype="html")
    mail.add_attachment(data, maintype="image", subtype="png", filename="p.png")
    message = parse_message(mail.as_bytes())
    assert (message.text, [a.size for a in message.attachments]) == (body, [len(data)])


def read_or_refused(raw: bytes) -> None:
    try:
        message = parse_message(raw)
    except MalformedMessage as refused:
        assert str(refused)
    else:
        assert message.id
        message.text.encode("utf-8")  # no lone surrogates may reach the store


@given(st.binary(max_size=2000))
def test_random_bytes_never_crash(raw):
    read_or_refused(raw)


PIECES = st.sampled_from(
    [b"From: ", b"Subject: ", b"Date: ", b"Message-ID: <", b"Content-Type: ", b"multipart/mixed; boundary=b", b"text/html",
     b"charset=", b"utf-7", b"\n", b"\n\n", b"--b\n", b"--b--", b"=?utf-8?b?", b"?=", b"<", b">", b"(", b"\\", b'"', b"@",
     b"Content-Transfer-Encoding: ", b"base64", b"x-uuencode", b"begin 644 f\n", b"\xff", b"\x00", b"; name*0*=", b"%",
     b"message/rfc822", b"Content-Disposition: attachment; filename=", b"format=flowed", b"<blockquote type=cite>", b"[", b":"]
)  # fmt: skip


@settings(max_examples=400)
@given(st.lists(st.one_of(PIECES, st.binary(max_size=6)), max_size=60).map(b"".join))
def test_mail_like_rubbish_never_crashes(raw):
    read_or_refused(b"Subject: x\n" + raw)


@given(st.binary(max_size=3000), st.sampled_from(["f.mbox", "f.eml", "f.csv", "f.jsonl"]))
def test_rubbish_in_a_source_is_read_or_refused(tmp_path_factory, raw, name):
    path = tmp_path_factory.mktemp("rubbish") / name
    path.write_bytes(
        b"From a@b.example Fri Jan  2 10:00:00 2026\n" * (name == "f.mbox") + b"text\n" * (name == "f.csv") + raw
    )
    try:
        found = list(read_source(path))
    except IntakeError as refused:
        assert str(path) in str(refused)
    else:
        assert all(f.id if isinstance(f, Message) else f.reason for f in found)


def cpython_messages() -> list[Path]:
    try:
        spec = importlib.util.find_spec("test.test_email")
    except ModuleNotFoundError:
        return []
    folders = spec.submodule_search_locations if spec and spec.submodule_search_locations else []
    return sorted(path for folder in folders for path in Path(folder, "data").glob("msg_*.txt"))


needs_cpython = pytest.mark.skipif(not cpython_messages(), reason="this Python carries no test.test_email.data")


@needs_cpython
def test_cpython_messages_are_all_read_or_refused():
    refused = []
    for path in cpython_messages():
        try:
            parse_message(path.read_bytes())
        except MalformedMessage:
            refused.append(path.stem)
    # These few hold no From, To, Subject, Date or Message-ID: parts of mails, made to test the part parser.
    assert refused == ["msg_18", "msg_19", "msg_37", "msg_38", "msg_39", "msg_40"]


@needs_cpython
@pytest.mark.parametrize(
    ("name", "start", "attachments", "automatic"),
    [
        ("msg_01", "Hi,\n\nDo you like this message?", 0, ""),
        ("msg_05", "Yadda yadda yadda", 0, "report of the mail system (delivery-status)"),
        ("msg_07", "Hi there,\n\nThis is the dingus fish.", 1, ""),
        ("msg_10", "This is a 7bit encoded message.\n\n¡This is a Quoted Printable encoded message!", 0, ""),
        (
            "msg_16",
            "This report relates to a message you sent",
            0,
            "report of the mail system (multipart/report)",
        ),
        ("msg_22", "Text text text.", 2, ""),
        ("msg_26", "Simple email with attachment.", 1, ""),
        ("msg_32", "Some message.", 0, "list or bulk mail (Precedence: bulk)"),
        ("msg_35", "counter to RFC 2822, there's no separating newline here", 0, ""),
        ("msg_45", "This is the signed contents.", 1, ""),
    ],
)
def test_cpython_messages_read_as_meant(name, start, attachments, automatic):
    (path,) = (p for p in cpython_messages() if p.stem == name)
    message = parse_message(path.read_bytes())
    assert message.text.startswith(start)
    assert (len(message.attachments), message.automatic) == (attachments, automatic)

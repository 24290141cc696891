# ruff: noqa: E501 - exports read better one row a line
"""Where messages come from: mailboxes, folders, exports; and what is refused."""

import gzip
import json
import mailbox
import tracemalloc
import zipfile
from datetime import UTC, datetime

import pytest

from triage.intake import ColumnMap, IntakeError, TextColumn, read_source
from triage.model import Address, Message, Rejected

FROM = "From jo@mail.example Fri Jan  2 10:00:00 2026\n"


def mail(number: int, body: str = "It hums.") -> str:
    return f"From: Jo <jo@mail.example>\nSubject: hum {number}\nMessage-ID: <{number}@mail.example>\n\n{body}\n"


def texts(path, **options) -> list[str]:
    return [m.text if isinstance(m, Message) else f"rejected: {m.reason}" for m in read_source(path, **options)]


@pytest.mark.parametrize(
    ("stored", "text"),
    [
        pytest.param(">From the barn it hums.", "From the barn it hums.", id="mboxo"),
        pytest.param("It hums.\n\nFrom here it is far.", "It hums.\n\nFrom here it is far.", id="from-without-a-date"),
        pytest.param("It hums.\nFrom a@b.example Fri Jan  2 10:00:00 2026", None, id="no-blank-line-before"),
    ],
)
def test_mbox_from_lines_in_the_body(tmp_path, stored, text):
    """RFC 4155; a separator has a date and follows a blank line."""
    path = tmp_path / "in.mbox"
    path.write_text(FROM + mail(1, stored) + "\n" + FROM + mail(2))
    assert texts(path) == [text or stored, "It hums."]


def test_mboxrd_takes_one_mark_off_each_level(tmp_path):
    path = tmp_path / "in.mbox"
    path.write_text(FROM + mail(1, "a\n>>From b\n>>>From c"))
    (message,) = read_source(path)
    assert message.quoted == ">From b\n>>From c"


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_mbox_positions_name_what_is_rejected(tmp_path, newline):
    path = tmp_path / "in.mbox"
    parts = [FROM + mail(1), "\n" + FROM + "no header\n", "\n" + FROM + mail(3)]
    path.write_bytes("".join(parts).replace("\n", newline).encode())
    first, bad, last = read_source(path)
    at = len((parts[0] + "\n").replace("\n", newline))
    assert isinstance(bad, Rejected)
    assert bad.source == f"in.mbox, message 2 (byte {at})"
    assert "no mail header" in bad.reason
    assert b"no header" in bad.raw
    assert (first.id, last.id) == ("1@mail.example", "3@mail.example")


def test_mbox_written_by_the_standard_library_reads_the_same(tmp_path):
    box = mailbox.mbox(tmp_path / "in.mbox")
    for number in range(5):
        box.add(mail(number, f"line\n\nFrom here on: {number}").encode())
    box.close()
    assert texts(tmp_path / "in.mbox") == [f"line\n\nFrom here on: {n}" for n in range(5)]


def test_empty_mbox_holds_nothing(tmp_path):
    path = tmp_path / "in.mbox"
    path.touch()
    assert texts(path) == []


def test_mbox_is_read_in_flat_memory(tmp_path):
    path = tmp_path / "in.mbox"
    filler = ("x" * 76 + "\n") * 1300  # 100 kB a message, 6 MB in all
    with path.open("w") as file:
        file.writelines(FROM + mail(n, "It hums.\n\n-- \n" + filler) + "\n" for n in range(60))
    tracemalloc.start()
    count = sum(1 for _ in read_source(path))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert count == 60
    assert peak < 3e6, f"{peak / 1e6:.1f} MB for messages of 0.1 MB"


def test_oversized_message_is_rejected_and_the_next_one_read(tmp_path):
    path = tmp_path / "in.mbox"
    with path.open("w") as file:
        file.write(FROM + mail(1))
        file.writelines("x" * 1_000_000 + "\n" for _ in range(70))
        file.write("\n" + FROM + mail(2))
    big, small = read_source(path)
    assert "has 70 MB, more than the 64 MiB" in big.reason
    assert len(big.raw) == 65_536
    assert small.text == "It hums."


def test_single_mail_folder_and_maildir(tmp_path):
    (tmp_path / "mails").mkdir()
    for number in (2, 1):
        (tmp_path / "mails" / f"{number}.eml").write_text(mail(number))
    (tmp_path / "mails" / "note.txt").write_text("no mail")
    box = mailbox.Maildir(tmp_path / "box")
    box.add(mail(3).encode())
    assert [m.id for m in read_source(tmp_path / "mails" / "1.eml")] == ["1@mail.example"]
    assert [m.id for m in read_source(tmp_path / "mails")] == ["1@mail.example", "2@mail.example"]
    assert [m.id for m in read_source(tmp_path / "box")] == ["3@mail.example"]


def test_files_that_are_something_else_say_what_to_do(tmp_path):
    archive = tmp_path / "a.mbox"
    with zipfile.ZipFile(archive, "w") as file:
        file.writestr("in.mbox", "x")
    packed = tmp_path / "b.mbox"
    packed.write_bytes(gzip.compress(b"x"))
    page = tmp_path / "c.eml"
    page.write_text("<!DOCTYPE html><html></html>")
    prose = tmp_path / "d.txt"
    prose.write_text("It hums\n")
    (tmp_path / "empty").mkdir()
    for path, says in [
        (archive, "is a zip archive: unpack it"),
        (packed, "is a gzip archive: unpack it"),
        (page, "is a web page"),
        (prose, "starts with a line 'From ADDRESS DATE'"),
        (tmp_path / "empty", "holds no .eml files"),
        (tmp_path / "none.mbox", "there is no such file"),
    ]:
        with pytest.raises(IntakeError, match=says):
            read_source(path)


FORM = "ref,Your name,E-mail,Question,Year,When\n1,Jo,JO@mail.example,It hums,2012,02/01/2026 10:00\n2,Al,,,2010,\n"
FORM_COLUMNS = """
channel: form
id: ref
name: Your name
email: E-mail
sent: When
sent_format: "%d/%m/%Y %H:%M"
text:
  - Question
  - Year: "Year: {Year}"
"""


@pytest.mark.parametrize("beside", ["web.columns.yaml", "web.csv.columns.yaml"])
def test_web_form_export_with_its_column_file(tmp_path, beside):
    (tmp_path / "web.csv").write_text(FORM)
    (tmp_path / beside).write_text(FORM_COLUMNS)
    first, second = read_source(tmp_path / "web.csv")
    assert (first.id, first.channel, first.text) == ("1", "form", "It hums\nYear: 2012")
    assert first.sender == Address("jo@mail.example", "Jo")
    assert first.sent == datetime(2026, 1, 2, 10, tzinfo=UTC)
    assert second.text == "Year: 2010"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_table_in_the_usual_encodings_and_delimiters(tmp_path, encoding, delimiter):
    path = tmp_path / "t.csv"
    path.write_text(f"id{delimiter}name{delimiter}text\n7{delimiter}Jö{delimiter}Öl läuft aus\n", encoding=encoding)
    (message,) = read_source(path)
    assert (message.id, message.sender.name, message.text) == ("7", "Jö", "Öl läuft aus")


CHAT = [
    {"n": "1", "room": "a", "who": "visitor", "said": "hi", "at": "2026-01-02T10:00:00"},
    {"n": "2", "room": "b", "who": "visitor", "said": "What oil?", "at": "2026-01-02T10:00:30"},
    {"n": "3", "room": "a", "who": "visitor", "said": "my cart hums", "at": "2026-01-02T10:01:00"},
    {"n": "4", "room": "a", "who": "Staff", "said": "Which year?", "at": "2026-01-02T10:02:00"},
    {"n": "5", "room": "a", "who": "visitor", "said": "2012", "at": "2026-01-02T10:03:00"},
    {"n": "6", "room": "a", "who": "visitor", "said": "Now it clicks", "at": "2026-01-09T10:03:00"},
]
CHAT_COLUMNS = ColumnMap(
    id="n", name="", email="", subject="", text=(TextColumn("said", "{said}"),), sent="at", thread="room",
    channel="chat", zone="Europe/London", staff_column="who", staff_values=("staff",),
)  # fmt: skip


def test_chat_rows_become_turns_and_staff_rows_no_questions(tmp_path):
    path = tmp_path / "chat.jsonl"
    path.write_text("".join(json.dumps(row) + "\n" for row in CHAT))
    found = {m.id: m for m in read_source(path, columns=CHAT_COLUMNS)}
    assert {i: m.text for i, m in found.items()} == {
        "1": "hi\nmy cart hums",
        "2": "What oil?",
        "5": "2012",
        "6": "Now it clicks",
    }
    assert (found["5"].quoted, found["5"].in_reply_to, found["6"].references) == (
        "Which year?",
        ("1",),
        ("1", "5"),
    )


def test_bad_rows_are_rejected_with_their_place(tmp_path):
    (tmp_path / "t.csv").write_text("id,text\n1,ok\n2,too,many\n3,\n4,fine\n")
    found = list(read_source(tmp_path / "t.csv"))
    assert [f.source for f in found if isinstance(f, Rejected)] == ["t.csv, row 3", "t.csv, row 4"]
    assert [f.reason for f in found if isinstance(f, Rejected)] == [
        "has 3 cells where the header has 2; quote cells that hold ','",
        "has no text (column 'text' is empty)",
    ]
    (tmp_path / "t.jsonl").write_text(
        '{"text": "ok"}\n{"text": \n[1]\n{"text": "nested", "from": {"email": "a@b.example"}}\n'
    )
    ok, broken, listed, nested = read_source(tmp_path / "t.jsonl", columns=ColumnMap(email="from.email"))
    assert (broken.source, listed.source) == ("t.jsonl, line 2", "t.jsonl, line 3")
    assert (ok.text, nested.sender.email) == ("ok", "a@b.example")


@pytest.mark.parametrize(
    ("columns", "says"),
    [
        ("text: Frage\n", "row 1: no column 'Frage' for text"),
        ("text: Question\nid: nr\n", "row 1: no column 'nr' for id"),
        ("texts: Question\n", "unknown key 'texts'. Known: .*text"),
        ("id: ref\n", "key 'text' is missing"),
        ("- a\n", "needs lines like"),
        ("text: [\n", "is not YAML"),
        ("text: Question\nid: [a]\n", "key 'id' must be the name of one column"),
        ("text:\n  - Year: no braces\n", "key 'text': write a column name"),
        ("text: Question\nstaff: yes\n", "key 'staff': write"),
    ],
)
def test_column_file_errors_name_the_key_and_the_way_out(tmp_path, columns, says):
    (tmp_path / "web.csv").write_text(FORM)
    (tmp_path / "web.columns.yaml").write_text(columns)
    with pytest.raises(IntakeError, match=says):
        list(read_source(tmp_path / "web.csv"))


def test_table_without_column_file_says_how_to_write_one(tmp_path):
    (tmp_path / "web.csv").write_text(FORM)
    with pytest.raises(IntakeError, match=r"no column 'text'.*Columns there: E-mail.*web\.columns\.yaml"):
        read_source(tmp_path / "web.csv")


def test_unknown_time_zone_is_named(tmp_path):
    (tmp_path / "t.csv").write_text("text\nhum\n")
    with pytest.raises(IntakeError, match="unknown time zone 'Nowhere'"):
        list(read_source(tmp_path / "t.csv", columns=ColumnMap(id="", name="", email="", subject="", sent="", thread="", channel="form", zone="Nowhere")))  # fmt: skip


def test_date_that_cannot_be_read_is_noted(tmp_path):
    (tmp_path / "t.csv").write_text("text,sent\nhum,2. Januar\nhiss,1767348000\n")
    noted, epoch = read_source(tmp_path / "t.csv")
    assert (noted.sent, noted.notes) == (
        None,
        ("date cannot be read: 2. Januar (set sent_format in the column file)",),
    )
    assert epoch.sent == datetime(2026, 1, 2, 10, tzinfo=UTC)

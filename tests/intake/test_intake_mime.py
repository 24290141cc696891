# ruff: noqa: E501 - tables of mail parts read better one case a line
"""MIME mail: RFC 2046 examples, RFC 2047 section 8, RFC 2231, charsets, and what real senders do to them."""

import base64

import pytest

from triage.intake import parse_message
from triage.model import Attachment

HEAD = b"From: Jo <jo@mail.example>\nSubject: cart\nMessage-ID: <1@mail.example>\nMIME-Version: 1.0\n"


def text_mail(body: bytes, content_type: bytes = b"text/plain", extra: bytes = b"") -> bytes:
    return HEAD + b"Content-Type: " + content_type + b"\n" + extra + b"\n" + body


RFC2046_5_1_1 = (
    HEAD
    + b"""Content-type: multipart/mixed; boundary="simple boundary"

This is the preamble.  It is to be ignored, though it
is a handy place for composition agents to include an
explanatory note to non-MIME conformant readers.

--simple boundary

This is implicitly typed plain US-ASCII text.
It does NOT end with a linebreak.
--simple boundary
Content-type: text/plain; charset=us-ascii

This is explicitly typed plain US-ASCII text.
It DOES end with a linebreak.

--simple boundary--

This is the epilogue.  It is also to be ignored.
"""
)


def test_rfc2046_5_1_1_preamble_and_epilogue_are_no_text():
    text = parse_message(RFC2046_5_1_1).text
    assert text == (
        "This is implicitly typed plain US-ASCII text.\nIt does NOT end with a linebreak.\n\n"
        "This is explicitly typed plain US-ASCII text.\nIt DOES end with a linebreak."
    )


def multipart(kind: bytes, *parts: bytes) -> bytes:
    inner = b"".join(b"--b1\n" + part + b"\n" for part in parts)
    return HEAD + b"Content-Type: multipart/" + kind + b"; boundary=b1\n\n" + inner + b"--b1--\n"


PLAIN = b"Content-Type: text/plain\n\nIt clicks twice."
HTML = b"Content-Type: text/html\n\n<html><body><p>It clicks <b>twice</b>.</p></body></html>"


@pytest.mark.parametrize(
    ("parts", "text", "noted"),
    [
        pytest.param((PLAIN, HTML), "It clicks twice.", False, id="plain-preferred"),
        pytest.param((HTML, PLAIN), "It clicks twice.", False, id="whatever-the-order"),
        pytest.param((b"Content-Type: text/plain\n\n \n", HTML), "It clicks twice.", True, id="plain-empty"),
        pytest.param(
            (b"Content-Type: text/plain\n\nYour mail program does not support HTML messages.", HTML),
            "It clicks twice.",
            True,
            id="plain-is-a-placeholder",
        ),
        pytest.param((HTML,), "It clicks twice.", False, id="html-only"),
    ],
)
def test_alternative_takes_the_plain_words(parts, text, noted):
    """RFC 2046 section 5.1.4."""
    message = parse_message(multipart(b"alternative", *parts))
    assert message.text == text
    assert ("plain part says nothing: read from HTML" in message.notes) is noted


def test_a_placeholder_in_any_language_gives_way_to_the_letter():
    plain = b"Diese Nachricht ist im HTML-Format."
    assert (
        parse_message(multipart(b"alternative", b"Content-Type: text/plain\n\n" + plain, HTML)).text
        == "It clicks twice."
    )


def test_a_question_about_html_is_no_placeholder():
    body = b"Content-Type: text/plain\n\nThe page of your shop does not load, see HTML below." + b" It is long." * 40
    assert "It is long." in parse_message(multipart(b"alternative", body, HTML)).text


def test_message_passed_on_whole_is_forwarded_not_own():
    """RFC 2046 section 5.2.1."""
    inner = b"Content-Type: message/rfc822\n\nFrom: Al <al@post.example>\nSubject: hum\n\nIt hums."
    message = parse_message(multipart(b"mixed", b"\nCan you help Al?", inner))
    assert message.text == "Can you help Al?"
    assert message.forwarded == "From: Al <al@post.example>\nSubject: hum\n\nIt hums."


def test_message_passed_on_without_a_word_is_read_as_the_question():
    inner = b"Content-Type: message/rfc822\n\nFrom: Al <al@post.example>\nSubject: hum\n\nIt hums."
    message = parse_message(multipart(b"mixed", inner))
    assert message.text == "It hums."
    assert any("copied message" in note for note in message.notes)


def test_digest_parts_are_messages():
    """RFC 2046 section 5.1.5: the default type within a digest is message/rfc822."""
    message = parse_message(multipart(b"digest", b"\nFrom: a@mail.example\nSubject: one\n\nFirst.", b"\n"))
    assert "First." in message.text + message.forwarded


def test_attachments_are_named_and_counted():
    photo = (
        b"Content-Type: image/jpeg\nContent-Transfer-Encoding: base64\n"
        b"Content-Disposition: attachment; filename*=UTF-8''pack%20%C3%BC.jpg\n\n" + base64.b64encode(b"\xff\xd8" * 50)
    )
    message = parse_message(multipart(b"mixed", PLAIN, photo))
    assert message.attachments == (Attachment("pack ü.jpg", "image/jpeg", 100),)  # RFC 2231 section 4
    assert message.text == "It clicks twice."


def test_rfc2231_continued_parameter():
    """RFC 2231 section 3."""
    part = (
        b'Content-Type: application/x-stuff\nContent-Disposition: attachment;\n filename*0="wiring ";\n'
        b' filename*1="diagram.dat"\n\nabc'
    )
    assert parse_message(multipart(b"mixed", part)).attachments[0].name == "wiring diagram.dat"


def test_text_file_sent_along_is_an_attachment_and_named_body_is_text():
    attached = b'Content-Type: text/plain\nContent-Disposition: attachment; filename="log.txt"\n\n48.2'
    named = b'Content-Type: text/plain; name="body.txt"\n\nIt hums.'
    message = parse_message(multipart(b"mixed", named, attached))
    assert (message.text, [a.name for a in message.attachments]) == ("It hums.", ["log.txt"])


def test_parts_nested_without_end_are_left_unread():
    nested = b"".join(b"Content-Type: multipart/mixed; boundary=b%d\n\n--b%d\n" % (n, n) for n in range(40))
    message = parse_message(HEAD + nested + b"\nhi")
    assert "parts nested too deep left unread" in message.notes


def test_multipart_without_parts_is_read_as_text():
    message = parse_message(HEAD + b"Content-Type: multipart/mixed; boundary=zz\n\nIt hums.")
    assert message.text == "It hums."


def test_mail_without_text_is_kept_and_noted():
    message = parse_message(HEAD.replace(b": cart", b": Re: cart") + b"\n")
    assert (message.text, message.notes) == ("", ("the mail has no text",))


def test_mail_with_nothing_but_a_subject_asks_in_its_subject():
    message = parse_message(HEAD + b"\n")
    assert message.text == "cart"
    assert message.notes == ("the mail has no text", "its subject is read as the question")


CP1252 = "the dealer’s “48 V” pack".encode("cp1252")


@pytest.mark.parametrize(
    ("body", "content_type", "text", "note"),
    [
        (b"plain", b"text/plain", "plain", ""),
        ("Öl läuft".encode(), b"text/plain; charset=utf-8", "Öl läuft", ""),
        ("Öl läuft".encode("latin-1"), b"text/plain; charset=iso-8859-1", "Öl läuft", ""),
        ("Öl läuft".encode(), b"text/plain", "Öl läuft", "charset not given read as utf-8"),
        ("Öl läuft".encode("cp1252"), b"text/plain; charset=utf-8", "Öl läuft", "charset utf-8 read as cp1252"),
        (CP1252, b"text/plain; charset=iso-8859-1", "the dealer’s “48 V” pack", "charset iso-8859-1 read as cp1252"),
        (CP1252, b"text/plain; charset=us-ascii", "the dealer’s “48 V” pack", "charset us-ascii read as cp1252"),
        (CP1252, b"text/plain; charset=unknown-8bit", "the dealer’s “48 V” pack", "charset unknown-8bit read as cp1252"),
        (b"hello", b"text/plain; charset=x-no-such", "hello", "charset x-no-such read as us-ascii"),
        (b"hello", b"text/plain; charset=rot13", "hello", "charset rot13 read as us-ascii"),
        ("電池が弱い".encode("iso-2022-jp"), b"text/plain; charset=iso-2022-jp", "電池が弱い", ""),
        ("it won’t start".encode().decode("cp1252").encode(), b"text/plain; charset=utf-8", "it won’t start",
         "doubly decoded text mended"),
        (b"it\x00 clicks\x07", b"text/plain", "it clicks", "control characters taken out"),
    ],
)  # fmt: skip
def test_charsets_declared_wrong_or_missing(body, content_type, text, note):
    message = parse_message(text_mail(body, content_type))
    assert message.text == text
    assert message.notes == ((note,) if note else ())


@pytest.mark.parametrize(
    ("encoded", "text"),
    [
        pytest.param(b"=41 broken =ZZ escape", "A broken =ZZ escape", id="bad-quoted-printable"),
        pytest.param(b"soft=\nwrap", "softwrap", id="soft-break"),
    ],
)
def test_quoted_printable(encoded, text):
    """RFC 2045 section 6.7."""
    extra = b"Content-Transfer-Encoding: quoted-printable\n"
    assert parse_message(text_mail(encoded, extra=extra)).text == text


# RFC 2047 section 8: what is shown for each way of writing it. The subject is unstructured, so
# the parentheses of the examples are ordinary characters here.
@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("(=?ISO-8859-1?Q?a?=)", "(a)"),
        ("(=?ISO-8859-1?Q?a?= b)", "(a b)"),
        ("(=?ISO-8859-1?Q?a?= =?ISO-8859-1?Q?b?=)", "(ab)"),
        ("(=?ISO-8859-1?Q?a?=  =?ISO-8859-1?Q?b?=)", "(ab)"),
        ("(=?ISO-8859-1?Q?a?=\n    =?ISO-8859-1?Q?b?=)", "(ab)"),
        ("(=?ISO-8859-1?Q?a_b?=)", "(a b)"),
        ("(=?ISO-8859-1?Q?a?= =?ISO-8859-2?Q?_b?=)", "(a b)"),
        (
            "=?ISO-8859-1?B?SWYgeW91IGNhbiByZWFkIHRoaXMgeW8=?=\n =?ISO-8859-2?B?dSB1bmRlcnN0YW5kIHRoZSBleGFtcGxlLg==?=",
            "If you can read this you understand the example.",
        ),
        pytest.param("=?UTF-8?Q?caf=C3?= =?UTF-8?Q?=A9?=", "café", id="character-cut-in-two"),
        pytest.param("=?utf-8*en?Q?hello?=", "hello", id="rfc2231-5-language"),
        pytest.param("=?utf-8?B?aGVsbG8?=", "hello", id="base64-without-padding"),
        pytest.param("=?x-none?Q?hi?= there", "hi there", id="unknown-charset"),
        pytest.param("=?broken", "=?broken", id="no-encoded-word"),
    ],
)  # fmt: skip
def test_rfc2047_encoded_words(written, shown):
    mail = f"From: a@mail.example\nSubject: {written}\n\nx".encode()
    assert parse_message(mail).subject == shown


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("=?US-ASCII?Q?Jo_Marsh?= <a@mail.example>", "Jo Marsh"),
        ("=?ISO-8859-1?Q?Olle_M=E4rsh?= <a@mail.example>", "Olle Märsh"),
        ("=?ISO-8859-1?Q?Pat_F=E4ldstr=F6nd?= <a@mail.example>", "Pat Fäldströnd"),
        pytest.param('"=?utf-8?Q?J=C3=B6?=" <a@mail.example>', "Jö", id="encoded-word-in-quotes"),
        pytest.param("=?utf-8?Q?Doe=2C_J=C3=B6?= <a@mail.example>", "Doe, Jö", id="comma-inside"),
    ],
)
def test_rfc2047_names_of_senders(written, name):
    message = parse_message(f"From: {written}\nSubject: x\n\nx".encode())
    assert (message.sender.email, message.sender.name) == ("a@mail.example", name)


def test_undeclared_bytes_in_headers_are_read_and_noted():
    message = parse_message("From: Jö <a@mail.example>\nSubject: Öl\n\nx".encode("cp1252"))
    assert (message.subject, message.sender.name) == ("Öl", "Jö")
    assert "subject: charset utf-8 read as cp1252" in message.notes


FLOWED = b"text/plain; format=flowed"


@pytest.mark.parametrize(
    ("body", "content_type", "text"),
    [
        pytest.param(b"Will it \nstart?\nNo.", FLOWED, "Will it start?\nNo.", id="4.1-soft-and-fixed"),
        pytest.param(b" From here\n  two", FLOWED, "From here\n two", id="4.4-space-stuffing"),
        pytest.param(b"one \n-- \nJo", FLOWED, "one", id="4.3-signature-never-flows"),
        pytest.param(b"Foot \nball", FLOWED + b"; delsp=yes", "Football", id="4.1-delsp"),
        pytest.param(b"a \nb", b"text/plain", "a\nb", id="not-flowed"),
    ],
)
def test_rfc3676_flowed_text(body, content_type, text):
    assert parse_message(text_mail(body, content_type)).text == text


def test_rfc3676_4_5_quote_depth_ends_a_paragraph():
    """The quoting example of RFC 3676 section 4.5 (wording from memory)."""
    body = (
        b">>>Take some more tea.\n>>I've had nothing yet, so I can't take more.\n"
        b">You mean you can't take LESS, it's very easy to take \n>MORE than nothing."
    )
    assert parse_message(text_mail(body, FLOWED)).quoted == (
        ">>> Take some more tea.\n>> I've had nothing yet, so I can't take more.\n"
        "> You mean you can't take LESS, it's very easy to take MORE than nothing."
    )


@pytest.mark.parametrize(
    ("html", "text", "quoted", "signature"),
    [
        pytest.param("<p>Hi</p><p>It hums</p>", "Hi\n\nIt hums", "", "", id="paragraphs"),
        pytest.param(
            "<div>Thanks, still dead.</div><blockquote type='cite'>Try<br>this</blockquote><div>Now what?</div>",
            "Thanks, still dead.\n\nNow what?", "> Try\n> this", "", id="reply-below-and-above",
        ),
        pytest.param(
            "<div>No.</div><div class='x_quote'><div>On Mon, 5 Jan 2026 at 10:00, W &lt;w@shop.example&gt; wrote:</div>"
            "<blockquote class='x_quote'>Is it 48 V?</blockquote><div>Yes, 48.</div></div>",
            "No.\n\nYes, 48.",
            "On Mon, 5 Jan 2026 at 10:00, W <w@shop.example> wrote:\n> Is it 48 V?", "", id="reply-inside-the-box",
        ),
        pytest.param(
            "<div>It hums</div><div class='my_signature'>Jo<br>555-0101</div>",
            "It hums", "", "-- \nJo\n555-0101", id="signature-box",
        ),
        pytest.param("<style>p{}</style><script>x()</script><p>Hi&nbsp;all</p>", "Hi all", "", "", id="no-code"),
        pytest.param("<table><tr><td>Year</td><td>2012</td></tr></table>", "Year  2012", "", "", id="table"),
        pytest.param("<div>" * 3000 + "deep", "deep", "", "", id="nested-deep"),
    ],
)  # fmt: skip
def test_html_mail(html, text, quoted, signature):
    message = parse_message(text_mail(html.encode(), b"text/html; charset=utf-8"))
    assert (message.text, message.quoted, message.signature) == (text, quoted, signature)


def test_a_fifty_megabyte_mail_is_read():
    photo = base64.encodebytes(b"\x00" * 37_000_000)
    part = b"Content-Type: image/jpeg; name=big.jpg\nContent-Transfer-Encoding: base64\n\n" + photo
    message = parse_message(multipart(b"mixed", PLAIN, part))
    assert len(message.raw) > 49_000_000
    assert (message.text, message.attachments[0].size) == ("It clicks twice.", 37_000_000)

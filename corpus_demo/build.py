"""Assembles the demo mailbox: reads the hand-written texts under parts/, writes inbox.mbox and eml/*.eml.

Run it in this folder: `python build.py`. The same parts always give the same bytes.

A part file holds blocks. A block starts with a line `=== KEY`, then header lines, a blank line, and the body
as the asker typed it. Header lines are mail headers, or switches that begin with `+`:

    +reply: KEY ...     what it answers; a whole id stands for a mail not kept here
    +html: yes          the body is HTML; with a line `--- html ---` inside, text and HTML alternatives
    +charset: NAME      how the body is encoded (utf-8)
    +declared: NAME     the charset the mail claims, where that is another one
    +encoding: NAME     quoted-printable, base64 or 8bit (8bit)
    +flowed: yes        format=flowed: long lines are wrapped softly
    +subject: B | Q     how a subject is encoded; with a charset behind it, "Q iso-8859-1"
    +attach: NAME TYPE  a tiny stand-in file, may be repeated
    +id: none           leaves the Message-ID out
    +escapes: yes       \\x00 in the body stands for a null byte

A block that brings its own Content-Type is written out as it is (delivery reports, broken mail).
"""

from __future__ import annotations

import base64
import hashlib
import quopri
import textwrap
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from email.charset import BASE64, QP, Charset
from email.header import Header
from email.utils import format_datetime, parseaddr, parsedate_to_datetime
from pathlib import Path

HERE = Path(__file__).parent
SHOP = "workshop@harrowlane.example"
STAND_INS = {  # the shortest bytes a viewer still takes for such a file
    "image/png": base64.b64decode(
        "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="
    ),
    "image/jpeg": bytes.fromhex("ffd8ffe000104a46494600010100000100010000ffd9"),
    "application/pdf": b"%PDF-1.4\n1 0 obj<</Type/Catalog>>endobj\ntrailer<</Root 1 0 R>>\n%%EOF\n",
    "text/csv": b"no,rest,ramp\n8,6.34,5.6\n9,6.35,5.7\n",
    "audio/amr": b"#!AMR\n",
}


@dataclass(frozen=True, slots=True)
class Part:
    """One hand-written mail: its key, headers, switches and body."""

    key: str
    headers: tuple[tuple[str, str], ...]
    switches: tuple[tuple[str, str], ...]
    body: str

    def header(self, name: str) -> str:
        """The first header of that name, or ""."""
        return next((value for key, value in self.headers if key == name), "")

    def switch(self, name: str, default: str = "") -> str:
        """The first switch of that name, or the default."""
        return next((value for key, value in self.switches if key == name), default)

    @property
    def message_id(self) -> str:
        """The id without <>: digest@domain of the sender, unless the part brings its own."""
        own = self.header("Message-ID").strip("<>")
        return own or f"{self.digest}@{parseaddr(self.header('From'))[1].partition('@')[2]}"

    @property
    def digest(self) -> str:
        """Stands for the key where the key would give away what the mail is."""
        return hashlib.sha256(self.key.encode()).hexdigest()[:16]

    @property
    def sent(self) -> datetime:
        """When it was sent; the first minute of the fortnight where it does not say."""
        return _read_date(self.header("Date")) or datetime(2026, 11, 9, tzinfo=UTC)


def read_parts(path: Path) -> list[Part]:
    """All blocks of one part file, in order."""
    blocks = ("\n" + path.read_text(encoding="utf-8")).split("\n=== ")[1:]
    return [_read_block(block) for block in blocks]


def _read_block(block: str) -> Part:
    head, _, body = block.partition("\n\n")
    key, *lines = head.split("\n")
    pairs = [(name, value) for name, _, value in (line.partition(": ") for line in lines)]
    headers = tuple(pair for pair in pairs if not pair[0].startswith("+"))
    switches = tuple((name[1:], value) for name, value in pairs if name.startswith("+"))
    return Part(key.strip(), headers, switches, body.rstrip("\n") + "\n" if body.strip() else "")


def _read_date(text: str) -> datetime | None:
    for reader in (lambda t: datetime.strptime(t, "%Y-%m-%d %H:%M %z"), parsedate_to_datetime):
        try:
            return reader(text)
        except ValueError:
            continue
    return None


def write_mail(part: Part, known: dict[str, Part]) -> bytes:
    """The part as a mail with LF line ends."""
    lines = [f"{name}: {_header_value(part, name, value)}" for name, value in part.headers]
    lines += _usual_headers(part, known)
    extra, body = _body(part)
    return "\n".join(lines + extra).encode("utf-8") + b"\n\n" + body


def _header_value(part: Part, name: str, value: str) -> str:
    if name == "Date":
        date = _read_date(value)
        return format_datetime(date) if date and value[:2] == "20" else value
    if name == "Subject" and part.switch("subject"):
        return _encode_subject(value, *part.switch("subject").split())
    return value


def _encode_subject(text: str, how: str, charset: str = "utf-8") -> str:
    chosen = Charset(charset)
    chosen.header_encoding = BASE64 if how == "B" else QP
    return Header(text, chosen, header_name="Subject").encode()


def _usual_headers(part: Part, known: dict[str, Part]) -> list[str]:
    lines = [] if part.header("To") else [f"To: {SHOP}"]
    if part.switch("id") != "none" and not part.header("Message-ID"):
        lines.append(f"Message-ID: <{part.message_id}>")
    chain = _references(part, known)
    if chain:
        lines += [f"In-Reply-To: <{chain[-1]}>", "References: " + "\n ".join(f"<{i}>" for i in chain)]
    return [*lines, "MIME-Version: 1.0"]


def _references(part: Part, known: dict[str, Part]) -> list[str]:
    chain: list[str] = []
    for key in part.switch("reply").split():
        earlier = known.get(key)
        found = [*_references(earlier, known), earlier.message_id] if earlier else [key]
        chain += [one for one in found if one not in chain]
    return chain


def _body(part: Part) -> tuple[list[str], bytes]:
    if part.header("Content-Type"):
        return [], _plain_bytes(part)
    heads, body = _text_entity(part)
    files = [_file(*value.rsplit(" ", 1)) for name, value in part.switches if name == "attach"]
    return _multipart("mixed", f"mix_{part.digest}", [(heads, body), *files]) if files else (heads, body)


def _plain_bytes(part: Part) -> bytes:
    data = part.body.encode(part.switch("charset", "utf-8"))
    return data.replace(b"\\x00", b"\0") if part.switch("escapes") else data


def _text_entity(part: Part) -> tuple[list[str], bytes]:
    text, both, html = part.body.partition("--- html ---\n")
    if not both:
        return _text(part, text, "html" if part.switch("html") else "plain")
    versions = [_text(part, text, "plain"), _text(part, html, "html")]
    return _multipart("alternative", f"alt_{part.digest}", versions)


def _text(part: Part, text: str, kind: str) -> tuple[list[str], bytes]:
    charset = part.switch("charset", "utf-8")
    flowed = "; format=flowed" if part.switch("flowed") else ""
    data = (_flow(text) if flowed else text).encode(charset)
    encoding = part.switch("encoding", "8bit")
    head = f'Content-Type: text/{kind}; charset="{part.switch("declared", charset)}"{flowed}'
    return [head, f"Content-Transfer-Encoding: {encoding}"], _ENCODERS[encoding](data)


_ENCODERS: dict[str, Callable[[bytes], bytes]] = {
    "8bit": bytes,
    "base64": base64.encodebytes,
    "quoted-printable": quopri.encodestring,
}


def _flow(text: str) -> str:
    """Wraps long lines softly (RFC 3676): a space before the line end says the paragraph goes on."""
    return "\n".join(" \n".join(_wrapped(line)) for line in text.split("\n"))


def _wrapped(line: str) -> list[str]:
    quoted = line.startswith(">")  # wrapped, the rest of it would no longer look quoted
    return textwrap.wrap(line, 70) if len(line) > 72 and not quoted else [line]


def _file(name: str, kind: str) -> tuple[list[str], bytes]:
    heads = [f'Content-Type: {kind}; name="{name}"', "Content-Transfer-Encoding: base64"]
    heads.append(f'Content-Disposition: attachment; filename="{name}"')
    return heads, base64.encodebytes(STAND_INS[kind])


def _multipart(kind: str, boundary: str, parts: Iterable[tuple[list[str], bytes]]) -> tuple[list[str], bytes]:
    mark = f"--{boundary}".encode()
    pieces = (mark + b"\n" + "\n".join(heads).encode() + b"\n\n" + body + b"\n" for heads, body in parts)
    return [f'Content-Type: multipart/{kind}; boundary="{boundary}"'], b"".join(pieces) + mark + b"--\n"


def to_mbox(part: Part, mail: bytes) -> bytes:
    """One mbox entry (RFC 4155): the From line in UTC, body lines that look like one quoted by ">"."""
    sender = parseaddr(part.header("Return-Path") or part.header("From"))[1] or "MAILER-DAEMON"
    start = f"From {sender} {part.sent.astimezone(UTC).strftime('%a %b %e %H:%M:%S %Y')}\n".encode()
    lines = (_quote_from(line) for line in mail.rstrip(b"\n").split(b"\n"))
    return start + b"\n".join(lines) + b"\n\n"


def _quote_from(line: bytes) -> bytes:
    return b">" + line if line.lstrip(b">").startswith(b"From ") else line


def build() -> tuple[int, int]:
    """Writes both kinds of mail; says how many of each."""
    inbox = [part for path in sorted(HERE.glob("parts/inbox/*.txt")) for part in read_parts(path)]
    single = [part for path in sorted(HERE.glob("parts/eml/*.txt")) for part in read_parts(path)]
    known = {part.key: part for part in [*inbox, *single]}
    if len(known) != len(inbox) + len(single):
        raise SystemExit("Two parts share a key: give each block under parts/ its own.")
    inbox.sort(key=lambda part: (part.sent, part.key))
    (HERE / "inbox.mbox").write_bytes(b"".join(to_mbox(part, write_mail(part, known)) for part in inbox))
    (HERE / "eml").mkdir(exist_ok=True)
    for part in single:
        (HERE / "eml" / f"{part.key}.eml").write_bytes(write_mail(part, known).replace(b"\n", b"\r\n"))
    return len(inbox), len(single)


if __name__ == "__main__":
    in_mbox, single_files = build()
    print(f"{in_mbox} mails in inbox.mbox, {single_files} in eml/")

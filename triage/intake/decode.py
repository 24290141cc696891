"""Bytes to text: declared, wrong and missing charsets, with a note for every mend."""

from __future__ import annotations

import base64
import binascii
import codecs
import quopri
import re
from typing import NamedTuple

import ftfy
from charset_normalizer import from_bytes


class Decoded(NamedTuple):
    """Text and what had to be mended to get it."""

    text: str
    notes: tuple[str, ...] = ()


# Codecs that Python counts as text and no mail is written in; some take quadratic time.
_REFUSED = frozenset({"idna", "punycode", "unicode_escape", "raw_unicode_escape", "undefined"})
_GUESS_BYTES = 65_536  # enough to tell a charset, small enough to stay quick
_FEW_HIGH_BYTES = 24  # below this a statistical guess is no better than the usual western charset
_CONTROLS = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")
_INVISIBLE = re.compile("[\u200b\u200c\u2060\ufeff\u00ad]")
_HIGH_CONTROL = re.compile(rb"[\x80-\x9f]")
_HIGH = re.compile(rb"[\x80-\xff]")
# RFC 2047 section 2; RFC 2231 section 5 adds "*language" to the charset.
_ENCODED_WORD = re.compile(r"=\?([^?*\s]+)(?:\*[^?\s]*)?\?([bBqQ])\?([^?]*)\?=")


def decode(raw: bytes, declared: str | None) -> Decoded:
    """Decode `raw` as declared (RFC 2045: nothing declared means us-ascii), or as what it really is.

    A charset that is unknown or does not fit is replaced by a guess, and the note says so.
    """
    codec = _codec(declared or "us-ascii")
    if codec in ("iso8859-1", "ascii") and _HIGH.search(raw):
        return _western(raw, declared, codec)
    if codec:
        try:
            return Decoded(raw.decode(codec).removeprefix("\ufeff"))
        except ValueError:
            pass  # it does not fit: guess below
    return _guessed(raw, declared)


def _western(raw: bytes, declared: str | None, codec: str) -> Decoded:
    """Latin-1 with bytes in the control range is UTF-8, or cp1252 (WHATWG Encoding Standard, labels)."""
    if codec == "ascii":
        return _guessed(raw, declared)
    if not _HIGH_CONTROL.search(raw):
        return Decoded(raw.decode(codec))
    try:
        return Decoded(raw.decode("utf-8"), (f"charset {declared} read as utf-8",))
    except UnicodeDecodeError:
        return Decoded(raw.decode("cp1252", "replace"), (f"charset {declared} read as cp1252",))


def _codec(name: str) -> str:
    """The codec's own name, or "" when it is unknown or no charset of text."""
    try:
        codec = codecs.lookup(name).name
        b"a".decode(name)  # a LookupError too for codecs of something else than text, such as rot13
    except UnicodeDecodeError:
        pass  # one byte is too few for it; a charset all the same
    except (LookupError, ValueError):
        return ""
    return "" if codec in _REFUSED else codec


def _guessed(raw: bytes, declared: str | None) -> Decoded:
    codec = _guess(raw)
    text = raw.decode(codec, "replace").removeprefix("\ufeff")
    if codec == "ascii":
        return Decoded(text, (f"charset {declared} read as us-ascii",))
    return Decoded(text, (f"charset {declared or 'not given'} read as {codec}",))


def _guess(raw: bytes) -> str:
    if raw.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    for codec in ("ascii", "utf-8"):
        try:
            raw.decode(codec)
        except UnicodeDecodeError:
            continue
        return codec
    if len(_HIGH.findall(raw)) < _FEW_HIGH_BYTES:
        return "cp1252"
    best = from_bytes(raw[:_GUESS_BYTES]).best()
    return best.encoding if best else "cp1252"


def mend(text: str) -> Decoded:
    """Take out control characters and invisible marks, and undo text that was decoded twice.

    >>> mend("It wonâ€™t start")
    Decoded(text='It won’t start', notes=('doubly decoded text mended',))
    """
    notes: list[str] = []
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\u00a0", " ")
    if _CONTROLS.search(text):
        notes.append("control characters taken out")
        text = _CONTROLS.sub("", text)
    if not text.isascii():
        fixed = ftfy.fix_encoding(text)
        notes += ["doubly decoded text mended"] if fixed != text else []
        text = _INVISIBLE.sub("", fixed)
    return Decoded(text, tuple(notes))


def header_text(value: str) -> Decoded:
    """A header's text on one line: encoded words (RFC 2047) decoded, undeclared 8-bit bytes read.

    Adjacent words are joined as bytes first: senders cut characters of several bytes in two.
    """
    raw = value.encode("utf-8", "surrogateescape")
    read = Decoded(value) if value.isascii() else decode(raw, "utf-8")
    text, notes = _decode_words(read.text) if "=?" in read.text else Decoded(read.text)
    mended = mend(text)
    return Decoded(" ".join(mended.text.split()), read.notes + notes + mended.notes)


def _decode_words(text: str) -> Decoded:
    pieces: list[tuple[str, bytes | str]] = []  # charset and bytes, or "" and plain text
    end = 0
    for word in _ENCODED_WORD.finditer(text):
        between = text[end : word.start()]
        charset = word[1].lower()
        # RFC 2047 section 6.2: white space between two encoded words is not shown.
        if between and not (between.isspace() and pieces and pieces[-1][0]):
            pieces.append(("", between))
        _append(pieces, charset, _word_bytes(word[2], word[3]))
        end = word.end()
    pieces.append(("", text[end:]))
    decoded = [decode(p, c) if isinstance(p, bytes) else Decoded(p) for c, p in pieces]
    return Decoded("".join(d.text for d in decoded), tuple(n for d in decoded for n in d.notes))


def _append(pieces: list[tuple[str, bytes | str]], charset: str, raw: bytes) -> None:
    if pieces and pieces[-1][0] == charset:
        before = pieces.pop()[1]
        raw = (before if isinstance(before, bytes) else b"") + raw
    pieces.append((charset, raw))


def _word_bytes(encoding: str, payload: str) -> bytes:
    data = payload.encode("utf-8", "replace")
    if encoding in "qQ":
        return quopri.decodestring(data.replace(b"_", b"=20"))
    try:
        return base64.b64decode(data + b"=" * (-len(data) % 4))
    except binascii.Error:
        return data

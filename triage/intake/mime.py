"""What stands in the parts of a MIME mail: text to read, mails passed on, attachments (RFC 2046)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from email.headerregistry import ContentDispositionHeader, ContentTypeHeader
from email.message import Message as Mail

from triage.intake.decode import decode, header_text, mend
from triage.intake.flowed import unflow
from triage.intake.headers import Headers, guarded
from triage.intake.markup import bounded, html_text
from triage.model import Attachment

LONGEST_TEXT = 200_000  # characters read of one part; the rest stays in the raw message
_DEEPEST = 12  # parts within parts
_LONGEST_PLACEHOLDER = 400  # characters; a plain part above this is a letter
_WORD = re.compile(r"\w+")
_HTML_START = re.compile(r"\s*<(?:!doctype html|html|head|body)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Content:
    """What was found in a part and the parts below it."""

    texts: tuple[str, ...] = ()
    forwarded: tuple[str, ...] = ()
    attachments: tuple[Attachment, ...] = ()
    notes: tuple[str, ...] = ()
    html: bool = False

    def __add__(self, other: Content) -> Content:
        return Content(
            self.texts + other.texts,
            self.forwarded + other.forwarded,
            self.attachments + other.attachments,
            self.notes + other.notes,
            self.html or other.html,
        )

    @property
    def body(self) -> str:
        """All texts, in order, a blank line between them."""
        return "\n\n".join(text.strip("\n") for text in self.texts if text.strip())


@dataclass(frozen=True, slots=True)
class _Kind:
    """Content-Type and Content-Disposition of a part, read once."""

    type: str
    params: Mapping[str, str]
    attached: bool
    name: str


def content(part: Mail, depth: int = 0) -> Content:
    """Collect what `part` holds; parts nested deeper than twelve levels are only named."""
    kind = _kind(part)
    if depth > _DEEPEST:
        return Content(attachments=(_attachment(part, kind),), notes=("parts nested too deep left unread",))
    if kind.type == "message/rfc822" and part.is_multipart():
        return _passed_on(part, depth)
    if part.is_multipart():
        return _container(part, kind, depth)
    if kind.type.startswith("multipart/"):
        return _read_text(part, kind) + Content(notes=("multipart mail without parts read as text",))
    readable = kind.type.startswith("text/") and not kind.type.endswith(("/calendar", "/csv", "/vcard", "/x-vcard"))
    if readable and not kind.attached:
        return _read_text(part, kind)
    return Content(attachments=(_attachment(part, kind),))


def _kind(part: Mail) -> _Kind:
    header = guarded(lambda: part.get("content-type"), None)
    disposition = guarded(lambda: part.get("content-disposition"), None)
    params: dict[str, str] = dict(header.params) if isinstance(header, ContentTypeHeader) else {}
    where = disposition if isinstance(disposition, ContentDispositionHeader) else None
    name = (where.params.get("filename", "") if where else "") or params.get("name", "")
    declared = header.content_type if isinstance(header, ContentTypeHeader) else part.get_default_type()
    # Some programs name their text parts too, so a name alone makes only other parts attachments.
    named = bool(name) and declared.lower() not in ("text/plain", "text/html")
    attached = named or (where is not None and where.content_disposition == "attachment")
    return _Kind(declared.lower(), params, attached, header_text(name).text)


def _container(part: Mail, kind: _Kind, depth: int) -> Content:
    children = [child for child in part.get_payload() if isinstance(child, Mail)]
    if kind.type == "multipart/alternative":
        return _alternative(children, depth + 1)
    return sum((content(child, depth + 1) for child in children), Content())


def _alternative(children: list[Mail], depth: int) -> Content:
    """Plain text first, unless it is empty or only says that the mail is HTML (RFC 2046 section 5.1.4)."""
    found: list[Content] = []
    for child in children:
        settled = any(len(c.body) > _LONGEST_PLACEHOLDER and not c.html for c in found)
        found += [] if settled and _kind(child).type == "text/html" else [content(child, depth)]
    html = next((c.body for c in found if c.html), "")
    usable = [c for c in found if c.body and (c.html or not _is_placeholder(c.body, html))]
    chosen = min(usable, key=lambda c: c.html, default=Content())
    others = tuple(a for c in found if c is not chosen for a in c.attachments)
    note = ("plain part says nothing: read from HTML",) if chosen.html and any(not c.html for c in found) else ()
    return chosen + Content(attachments=others, notes=note)


def _is_placeholder(plain: str, html: str) -> bool:
    """A short plain part whose words mostly do not stand in the HTML is not the letter.

    That holds in any language for "your program does not show HTML", and no list of phrases does.
    """
    words = _WORD.findall(plain.lower())
    missing = set(words) - set(_WORD.findall(html.lower()))
    return bool(html) and len(plain) <= _LONGEST_PLACEHOLDER and 2 * len(missing) > len(set(words))


def _read_text(part: Mail, kind: _Kind) -> Content:
    read = decode(_bytes(part), kind.params.get("charset"))
    text, notes = mend(read.text)
    cut = False
    html = kind.type == "text/html" or bool(_HTML_START.match(text))
    if html:
        text, cut = html_text(text), len(bounded(text)) < len(text)
    elif kind.params.get("format", "").lower() == "flowed":
        text = unflow(text, delsp=kind.params.get("delsp", "").lower() == "yes")
    if cut or len(text) > LONGEST_TEXT:
        notes += ("very long text: its end was left unread",)
    return Content((text[:LONGEST_TEXT],), notes=read.notes + notes, html=html)


def _bytes(part: Mail) -> bytes:
    payload = guarded(lambda: part.get_payload(decode=True), None)
    return payload if isinstance(payload, bytes) else b""


def _attachment(part: Mail, kind: _Kind) -> Attachment:
    return Attachment(kind.name, kind.type, len(_bytes(part)))


def _passed_on(part: Mail, depth: int) -> Content:
    """A mail inside the mail, written out the way a forwarded block reads."""
    payload = part.get_payload()
    inner = payload[0] if isinstance(payload, list) and payload else None
    if not isinstance(inner, Mail):
        return Content()
    headers = Headers.of(inner)
    shown = [f"{name.title()}: {headers.text(name)}" for name in ("from", "date", "subject") if headers.raw(name)]
    found = content(inner, depth + 1)
    block = "\n".join(shown) + "\n\n" + found.body
    return Content(
        forwarded=(block.strip(), *found.forwarded),
        attachments=found.attachments,
        notes=found.notes + tuple(headers.notes),
    )

"""What was attached to a mail, as a download and never as a page: nothing of it runs or shows in the browser."""

from __future__ import annotations

import email.policy
import re
from email.message import Message as Mail
from email.parser import BytesParser
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from triage.bench.office import office_of
from triage.model import Attachment
from triage.store import NotFound

# Kinds that the system's own viewers show; any other gets an ending that nothing starts by a double click.
_SHOWN = frozenset({".bmp", ".csv", ".gif", ".heic", ".jpeg", ".jpg", ".mov", ".mp4", ".pdf", ".png", ".txt", ".webp"})
_UNSAFE_IN_NAMES = re.compile(r"[^\w .,()+=-]")
_LONGEST_NAME = 100


def download(request: Request) -> Response:
    """The bytes of one attachment. Raises NotFound."""
    thread, message, place = (int(request.path_params[name]) for name in ("thread", "message", "place"))
    with office_of(request).store() as store:
        messages = store.thread(thread).messages
        if not 1 <= message <= len(messages) or not 1 <= place <= len(messages[message - 1].attachments):
            raise NotFound(f"Thread {thread} has no such attachment.")
        chosen = messages[message - 1]
        raw = store.raw(chosen.id)
    attachment = chosen.attachments[place - 1]
    return _as_download(attachment, _bytes(raw, attachment))


def _as_download(attachment: Attachment, data: bytes) -> Response:
    name = safe_name(attachment.name)
    plain = name.encode("ascii", "replace").decode().replace("?", "_")
    headers = {
        "Content-Disposition": f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(name, safe='')}",  # RFC 6266
        "Content-Security-Policy": "default-src 'none'; sandbox",
    }
    return Response(data, media_type="application/octet-stream", headers=headers)


def safe_name(given: str) -> str:
    r"""A file name without folders, control or turning-around characters; what could be started is made unstartable.

    >>> safe_name("..\\..\\run me.exe"), safe_name("plate.jpg"), safe_name("")
    ('run me.exe.unopened', 'plate.jpg', 'attachment.unopened')
    """
    last = re.split(r"[/\\]", given)[-1]
    name = " ".join(_UNSAFE_IN_NAMES.sub("_", last).split()).lstrip(".") or "attachment"
    stem, dot, ending = name.rpartition(".")
    short = f"{stem[:_LONGEST_NAME]}{dot}{ending[:20]}"
    return short if f".{ending.lower()}" in _SHOWN else f"{short}.unopened"


def _bytes(raw: bytes, attachment: Attachment) -> bytes:
    """The part of that kind and size, by its name where several are. Raises NotFound."""
    mail: Mail = BytesParser(policy=email.policy.compat32).parsebytes(raw)
    found = [part for part in mail.walk() if not part.is_multipart()]
    alike = [(part, data) for part in found if len(data := _payload(part)) == attachment.size]
    named = [data for part, data in alike if part.get_filename() == attachment.name]
    fitting = named or [data for part, data in alike if part.get_content_type() == attachment.content_type]
    if not fitting:
        raise NotFound(f"The attachment '{attachment.name}' cannot be taken out of its mail.")
    return fitting[0]


def _payload(part: Mail) -> bytes:
    data = part.get_payload(decode=True)
    return data if isinstance(data, bytes) else b""


routes = (Route("/attachment/{thread:int}/{message:int}/{place:int}", download),)

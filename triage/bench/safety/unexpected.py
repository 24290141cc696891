"""Errors nobody expected: a reference number for the person, the details for the log."""

from __future__ import annotations

import logging
import secrets

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from triage.bench.safety.plain import refusal

log = logging.getLogger("triage.bench")

_SAYS = (
    "Something went wrong in the program; what was kept before is kept. Go back and try once more. If it happens "
    "again, tell whoever looks after the program this number: {number}. The log of the workbench has the details."
)


class Unexpected:
    """Turns an error into a page that tells nothing of the program's inside."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        started = False

        async def noticing(message: Message) -> None:
            nonlocal started
            started = started or message["type"] == "http.response.start"
            await send(message)

        try:
            await self.app(scope, receive, noticing)
        except Exception:
            if scope["type"] != "http" or started:
                raise
            await _told(scope)(scope, receive, send)


def _told(scope: Scope) -> ASGIApp:
    number = secrets.token_hex(4)
    # repr: an address with line breaks must not write lines of its own into the log
    log.exception("error %s at %s %r", number, scope["method"], scope["path"])
    return refusal(scope, 500, "That did not work", _SAYS.format(number=number))

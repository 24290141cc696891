"""Forms from our own pages only: a token bound to the session, and the origin where the browser tells it."""

from __future__ import annotations

import asyncio
import secrets
from urllib.parse import urlsplit

from itsdangerous import Signer
from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from triage.bench.safety.plain import refusal

_READS = frozenset({"GET", "HEAD", "OPTIONS"})
_PATIENCE = 30.0  # seconds for a body to arrive
_SLOW = "The page did not arrive in time. Try once more."
_OLD = (
    "This page was made before you signed in, or does not come from the workbench. Nothing was changed. "
    "Open the page again: words typed into a reply are kept in this browser."
)


def token_of(request: Request) -> str:
    """The token that forms of this session carry; empty outside a session."""
    if "session" not in request.scope:
        return ""
    return str(request.scope["forgery"].get_signature(_id(request.scope)).decode())


def _id(scope: Scope) -> str:
    return str(scope["session"].setdefault("id", secrets.token_urlsafe(16)))


class SameSite:
    """Refuses a change that does not carry the token of its session, or that another site's page asks for."""

    def __init__(self, app: ASGIApp, key: str) -> None:
        self.app = app
        self.signer = Signer(key, salt="form token")

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        scope["forgery"] = self.signer
        if scope["type"] != "http" or scope["method"] in _READS:
            await self.app(scope, receive, send)
            return
        body = await _whole(scope, receive)
        if body is None:
            await refusal(scope, 408, "Too slow", _SLOW)(scope, receive, send)
        elif foreign(scope) or not self._ours(scope, await _token(scope, body)):
            await refusal(scope, 403, "That page is too old", _OLD)(scope, receive, send)
        else:
            await self.app(scope, _again(body, receive), send)

    def _ours(self, scope: Scope, token: str) -> bool:
        return "id" in scope["session"] and self.signer.verify_signature(_id(scope), token)


def foreign(scope: Scope) -> bool:
    """True when the browser says that another site's page asks (RFC 6454 Origin; W3C Fetch Metadata)."""
    headers = Headers(scope=scope)
    origin, host = headers.get("origin"), headers.get("host", "")
    other = origin is not None and urlsplit(origin).netloc.lower() != host.lower()
    return other or headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none")


async def _whole(scope: Scope, receive: Receive) -> bytes | None:
    """The body, whose length is bounded further out; None when it does not come."""
    try:
        async with asyncio.timeout(_PATIENCE):
            return await Request(scope, receive).body()
    except TimeoutError:
        return None


async def _token(scope: Scope, body: bytes) -> str:
    """The token of the header that htmx sends, else of the form."""
    given = Headers(scope=scope).get("x-csrf")
    if given is not None:
        return given
    try:
        async with Request(scope, _again(body)).form() as form:
            return str(form.get("csrf", ""))
    except HTTPException:  # a body that is no form
        return ""


def _again(body: bytes, receive: Receive | None = None) -> Receive:
    """The body once more, for who comes after; then whatever else arrives."""
    told = False

    async def once_more() -> Message:
        nonlocal told
        if told and receive:
            return await receive()
        told = True
        return {"type": "http.request", "body": body, "more_body": False}

    return once_more

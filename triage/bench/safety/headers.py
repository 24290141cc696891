"""Headers that tell the browser what a page may do: nothing but show itself and talk to the workbench."""

from __future__ import annotations

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

# W3C Content Security Policy Level 3. No inline script or style, no other address, no frame around it.
PAGE = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
ALWAYS = {
    "Content-Security-Policy": PAGE,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",  # for browsers older than frame-ancestors
    "Referrer-Policy": "same-origin",  # "no-referrer" would blank the Origin that forms are checked by
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}


class Headers:
    """Adds them to every response, also to refusals; what a page sets itself stays."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                _add(MutableHeaders(scope=message), kept=scope["path"].startswith("/static/"))
            await send(message)

        await self.app(scope, receive, with_headers if scope["type"] == "http" else send)


def _add(headers: MutableHeaders, kept: bool) -> None:
    """`kept`: the browser may keep it, and asks whether it has changed; pages hold people's mail and are not kept."""
    for name, value in ALWAYS.items():
        headers.setdefault(name, value)
    headers.setdefault("Cache-Control", "no-cache" if kept else "no-store")

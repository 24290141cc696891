"""What a browser brings along from page to page: a signed cookie that scripts cannot read."""

from __future__ import annotations

from pathlib import Path
from zlib import crc32

from starlette.middleware.sessions import SessionMiddleware
from starlette.types import ASGIApp, Receive, Scope, Send

KEPT = 180 * 24 * 3600  # seconds; signing in with a password ends sooner (people.SIGNED_IN)


class Sessions:
    """Starlette's signed sessions, SameSite=Strict and HttpOnly, and Secure where the page came by TLS.

    The name of the cookie belongs to the store: browsers share cookies between the ports of one machine.
    """

    def __init__(self, app: ASGIApp, key: str, store: Path) -> None:
        name = f"bench-{crc32(str(store.resolve()).encode()):08x}"
        self.open = SessionMiddleware(app, key, name, KEPT, same_site="strict")
        self.secure = SessionMiddleware(app, key, f"__Host-{name}", KEPT, same_site="strict", https_only=True)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        kind = self.secure if scope.get("scheme") == "https" else self.open
        await kind(scope, receive, send)

"""By which name the browser called: a name that is not ours is a foreign page pointed at this machine."""

from __future__ import annotations

import re
from collections.abc import Collection

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Receive, Scope, Send

from triage.bench.safety.plain import refusal

_HOST = re.compile(r"(?:\[([0-9a-f:.]+)\]|([a-z0-9._-]+))(?::\d{1,5})?", re.ASCII)  # RFC 9110, 7.2
_SAYS = (
    "The workbench does not answer under this name. Whoever starts it can allow a name: "
    "triage bench --host-name NAME (and --host for the address it listens on)."
)


class KnownHosts:
    """Refuses requests whose Host is none of `names`."""

    def __init__(self, app: ASGIApp, names: Collection[str]) -> None:
        self.app = app
        self.names = names

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http" and called(scope) not in self.names:
            await refusal(scope, 400, "Not under this name", _SAYS)(scope, receive, send)
            return
        await self.app(scope, receive, send)


def called(scope: Scope) -> str:
    """The name or address in Host, without its port; empty where there is none, or more than one, or nonsense."""
    given = Headers(scope=scope).getlist("host")
    match = _HOST.fullmatch(given[0].lower()) if len(given) == 1 else None
    return (match[1] or match[2]).rstrip(".") if match else ""

"""A refusal as a page that needs nothing of the shop: no store, no session, no template."""

from __future__ import annotations

from html import escape

from starlette.datastructures import Headers
from starlette.responses import HTMLResponse
from starlette.types import Scope

_PAGE = """<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>{title}</title><link rel="stylesheet" href="/static/style.css"></head>
<body><main id="main"><section class="sheet narrow"><h1>{title}</h1>
<p>{says}</p>
<p><a href="{back}">{onward}</a></p></section></main></body>
</html>
"""
_BOX = """<section class="sheet narrow"><h2>{title}</h2>
<p>{says}</p>
<p><a href="{back}" target="_blank">{onward}</a></p>
<p><button type="button" class="act" data-close="trouble">Back to the page</button></p></section>
"""


def refusal(
    scope: Scope, status: int, title: str, says: str, *, back: str = "/", onward: str = "To the list"
) -> HTMLResponse:
    """A page; for htmx a box over the page, so that nothing typed there is lost."""
    part = Headers(scope=scope).get("hx-request") == "true"
    words = {"title": title, "says": says, "back": back, "onward": onward}
    text = (_BOX if part else _PAGE).format(**{name: escape(value) for name, value in words.items()})
    swap = {"HX-Retarget": "#trouble", "HX-Reswap": "innerHTML"} if part else {}
    return HTMLResponse(text, status, headers=swap)

"""From a template and a view to a response; every text is escaped."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from triage.bench.office import office_of, person_of
from triage.bench.safety.forgery import token_of
from triage.bench.safety.shown import plainly

HERE = Path(__file__).parent
Posted = Callable[[Request, FormData], Response]


@cache
def environment() -> Environment:
    """Jinja2 with escaping always on and undefined names refused."""
    return Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=plainly,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def page(request: Request, template: str, *, status: int = 200, **context: Any) -> Response:
    """A template filled in, with what every page needs beside its own view: shop, person, nav, csrf."""
    return HTMLResponse(rendered(request, template, **context), status)


def rendered(request: Request, template: str, **context: Any) -> str:
    """The template's text."""
    office, person = office_of(request), person_of(request)
    common: dict[str, Any] = {
        "said": "",
        "left_out": {},
        "request": request,
        "shop": office.stages.pack.shop,
        "person": person,
        "nav": request.app.state.nav,
        "here": request.url.path,
        "part": is_part(request),
        "csrf": token_of(request),
        "csrf_field": lambda: _csrf_field(token_of(request)),
    }
    return environment().get_template(template).render(common | context)


def _csrf_field(token: str) -> Markup:
    return Markup('<input type="hidden" name="csrf" value="{}">').format(token)


def posting(handle: Posted) -> Callable[[Request], Awaitable[Response]]:
    """An endpoint that reads the form, then runs `handle(request, form)` in a worker thread."""

    async def endpoint(request: Request) -> Response:
        async with request.form() as form:
            return await run_in_threadpool(handle, request, form)

    return endpoint


def is_part(request: Request) -> bool:
    """True when htmx asks for a part of a page to swap in."""
    return request.headers.get("HX-Request") == "true" and request.headers.get("HX-Boosted") != "true"


def see(request: Request, path: str) -> Response:
    """Go on to another page, with or without htmx."""
    if is_part(request):
        return Response(status_code=204, headers={"HX-Redirect": path})
    return RedirectResponse(path, status_code=303)

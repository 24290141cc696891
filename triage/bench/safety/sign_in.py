"""The door: a name at the shop's own machine, a name and a password from anywhere else."""

from __future__ import annotations

import getpass
import secrets
from datetime import timedelta

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from triage.bench.office import office_of
from triage.bench.safety.passwords import fits
from triage.bench.safety.people import Door
from triage.store.staff import LONGEST_NAME, Member

_WRONG = "This name and this password do not belong together."
_NO_NAME = f"Write your name: 1 to {LONGEST_NAME} characters."


def ask(request: Request) -> Response:
    """The page that asks who is there."""
    return _form(request, to=str(request.query_params.get("to", "")))


async def enter(request: Request) -> Response:
    """Let somebody in."""
    async with request.form() as form:
        act = _with_password if _door(request).locked else _with_name
        return await run_in_threadpool(act, request, form)


async def leave(request: Request) -> Response:
    """Sign out: the browser forgets."""
    request.session.clear()
    return RedirectResponse("/sign-in", 303)


def _with_name(request: Request, form: FormData) -> Response:
    name = " ".join(str(form.get("name", "")).split())
    if not 1 <= len(name) <= LONGEST_NAME or not name.isprintable():
        return _form(request, str(form.get("to", "")), name, _NO_NAME, 422)
    request.session["name"] = name
    return RedirectResponse(_inside(form.get("to")), 303)


def _with_password(request: Request, form: FormData) -> Response:
    name, to = " ".join(str(form.get("name", "")).split()), str(form.get("to", ""))
    wait = _slowed(request, name)
    if wait:
        return _form(request, to, name, _too_often(wait), 429)
    member = _member(request, name)
    if not fits(str(form.get("password", "")), member.password if member else None) or not member:
        return _form(request, to, name, _WRONG, 422)
    _door(request).by_name.forget(name.casefold())
    _door(request).by_address.forget(_address(request))
    _begin(request, member)
    return RedirectResponse(_inside(to), 303)


def _slowed(request: Request, name: str) -> timedelta:
    """How long to wait before this name, from this address, may be tried again; else the try is counted."""
    door, now = _door(request), office_of(request).now()
    return door.by_name.attempt(name.casefold(), now) or door.by_address.attempt(_address(request), now)


def _door(request: Request) -> Door:
    door: Door = request.scope["door"]
    return door


def _begin(request: Request, member: Member) -> None:
    """A session of its own, so that nobody could have put theirs under it beforehand."""
    request.session.clear()
    since = office_of(request).now().isoformat()
    request.session.update(id=secrets.token_urlsafe(16), name=member.name, stamp=member.stamp, since=since)


def _member(request: Request, name: str) -> Member | None:
    with office_of(request).store() as store:
        return store.staff.find(name)


def _address(request: Request) -> str:
    return request.client.host if request.client else ""


def _too_often(wait: timedelta) -> str:
    return f"Too many tries. Wait {int(wait.total_seconds()) + 1} seconds, then try once more."


def _inside(to: object) -> str:
    """Where to go on: an address of the workbench, never another site's.

    >>> _inside("/question/3?x=1"), _inside("//elsewhere.example"), _inside("https://elsewhere.example")
    ('/question/3?x=1', '/', '/')
    """
    path = str(to or "/")
    plain = path.startswith("/") and not path.startswith("//") and "\\" not in path
    return path if plain and path.isprintable() else "/"


def _form(request: Request, to: str = "", name: str = "", wrong: str = "", status: int = 200) -> Response:
    from triage.bench.rendering import page

    locked = _door(request).locked
    known = name or request.session.get("name", "") or ("" if locked else _login_name(request))
    response = page(request, "sign_in.html", status=status, name=known, to=_inside(to), wrong=wrong, locked=locked)
    if status == 429:
        response.headers["Retry-After"] = "60"
    return response


def _login_name(request: Request) -> str:
    try:
        return office_of(request).settings.person or getpass.getuser()
    except (KeyError, OSError):  # no such user on this machine
        return ""


routes = (
    Route("/sign-in", ask),
    Route("/sign-in", enter, methods=["POST"]),
    Route("/sign-out", leave, methods=["POST"]),
)

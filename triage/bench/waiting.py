"""The list of those who wait, and its parts that come anew by themselves."""

from __future__ import annotations

from contextlib import suppress
from typing import Any
from urllib.parse import urlencode
from zlib import crc32

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from triage.bench.asked import whole
from triage.bench.office import Office, office_of, person_of
from triage.bench.rendering import page
from triage.bench.views.finding import Sought, fact_choices, sought
from triage.bench.views.waiting import Waiting, waiting_list
from triage.desk import OURS
from triage.store import EVERY, Filters, QueueRow, Store, StoreBusy, StoreFull, ThreadState

MOST = 80  # lines at once: keeps the page under 100 KB


def show(request: Request) -> Response:
    """The whole page."""
    _stand_up(request)
    choices = fact_choices(office_of(request).stages.pack)
    return page(request, "waiting.html", choices=choices, **_asked(request), **_found(request))


def _stand_up(request: Request) -> None:
    """Whoever looks at the list is at no question."""
    with suppress(StoreBusy, StoreFull), office_of(request).store() as store:
        store.together.be_only_at(0, by=person_of(request).name)


def rows(request: Request) -> Response:
    """The lines only; 204 while nothing has changed since the ones shown."""
    found = _found(request)
    if request.query_params.get("seen") == found["seen"]:
        return Response(status_code=204)
    return page(request, "waiting_rows.html", **_asked(request), **found)


def _asked(request: Request) -> dict[str, Any]:
    asked = request.query_params
    kept = {name: asked[name] for name in ("find", "state", "from") if asked.get(name)}
    start = {name: value for name, value in kept.items() if name != "from"}
    query = {"query": urlencode(kept), "query_start": urlencode(start)}
    return {"find": asked.get("find", ""), "state": asked.get("state", ""), **query}


def _found(request: Request) -> dict[str, Any]:
    office, asked = office_of(request), request.query_params
    wanted = sought(asked.get("find", ""), office.stages.pack.facts)
    begin = whole(asked.get("from"))
    with office.store() as store:
        view = _list(store, office, wanted, asked.get("state", ""), begin)
        seen = _seen(store, office)
    return {
        "view": view,
        "troubles": office.troubles(),
        "wanted": wanted,
        "begin": begin,
        "following": begin + view.shown,
        "seen": seen,
    }


def _seen(store: Store, office: Office) -> str:
    """Changes whenever a line may look different: something happened, somebody came or went, ten minutes passed."""
    here = sorted((thread, claim.person) for thread, claim in store.together.claims().items())
    minutes = int(office.now().timestamp() // 600)
    shown = crc32(repr((here, *office.troubles())).encode())
    return f"{store.together.latest()}.{shown:x}.{minutes}"


def _list(store: Store, office: Office, wanted: Sought, state: str, begin: int) -> Waiting:
    searched = bool(wanted.words or wanted.facts)
    return waiting_list(
        _rows(store, wanted, _states(state, searched), begin),
        store.counts(),
        store.together.claims(),
        office.now(),
        chosen=state,
        searched=searched,
        most=MOST,
    )


def _rows(store: Store, wanted: Sought, states: tuple[ThreadState, ...], begin: int) -> list[QueueRow]:
    filters = Filters(states=states, facts=wanted.facts, limit=MOST + 1, offset=begin)
    return store.search(wanted.words, filters) if wanted.words else store.queue(filters)


def _states(state: str, searched: bool) -> tuple[ThreadState, ...]:
    if state in {one.value for one in ThreadState}:
        return (ThreadState(state),)
    return EVERY if searched else OURS


routes = (Route("/", show), Route("/waiting/rows", rows))
nav = (("/", "Waiting"),)

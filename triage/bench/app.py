"""The workbench put together: rooms with their routes, protections, static files, errors in plain words."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from typing import Protocol

from starlette.applications import Starlette
from starlette.routing import BaseRoute, Mount
from starlette.staticfiles import StaticFiles

from triage.bench import air, answers, errors, facts, question, reply, safety, sheets, undoing, waiting
from triage.bench.office import Office
from triage.bench.reader import Reader
from triage.bench.rendering import HERE
from triage.bench.settings import Settings


class Room(Protocol):
    """A module that serves some pages; `nav` holds (path, label) of those that the top of every page links to."""

    @property
    def routes(self) -> Sequence[BaseRoute]: ...

    @property
    def nav(self) -> Sequence[tuple[str, str]]: ...


ROOMS: tuple[Room, ...] = (waiting, question, facts, reply, undoing, sheets, air, answers)


def create_app(settings: Settings, office: Office | None = None) -> Starlette:
    """The app; an `office` may be given where stages or clock are already there."""
    office = office or open_office(settings)
    app = Starlette(
        routes=[
            *(route for room in ROOMS for route in room.routes),
            *safety.routes,
            Mount("/static", StaticFiles(directory=HERE / "static"), name="static"),
        ],
        middleware=safety.protections(office),
        exception_handlers=errors.HANDLERS,
        lifespan=_lifespan(office),
    )
    app.state.office = office
    app.state.nav = [entry for room in ROOMS for entry in room.nav]
    return app


def open_office(settings: Settings) -> Office:
    """Load the pack and its models."""
    from triage.engine import open_engine

    return Office(settings, open_engine(settings.pack, encoder=settings.encoder))


def _lifespan(office: Office) -> Callable[[Starlette], AbstractAsyncContextManager[None]]:
    @asynccontextmanager
    async def running(app: Starlette) -> AsyncIterator[None]:
        reader = Reader(office)
        if office.settings.read_new:
            reader.start()
        try:
            yield
        finally:
            reader.stop()

    return running

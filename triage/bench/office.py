"""The one object every page shares: the store's place, the stages kept warm, the clock, and who is acting."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from threading import Lock

from starlette.requests import Request

from triage.bench.settings import Settings
from triage.pack import Pack
from triage.pipeline import Stages
from triage.store import Store


@dataclass(frozen=True, slots=True)
class Person:
    """Who sits at a browser; `name` signs every change."""

    name: str
    role: str = "staff"  # "staff" | "host" | "editor"


@dataclass
class Office:
    """Made once when the workbench starts; only its stages are replaced, when the answer base grows."""

    settings: Settings
    stages: Stages
    now: Callable[[], datetime] = lambda: datetime.now(UTC)
    reading: Lock = field(default_factory=Lock)  # the models read one question at a time
    troubles: Callable[[], Sequence[str]] = tuple  # what is wrong with the mailboxes just now, in words

    def grow(self, pack: Pack) -> None:
        """Go on with the answers as they are now."""
        from triage.engine import with_answers

        self.stages = with_answers(replace(self.stages, pack=pack), pack.answers)

    @contextmanager
    def store(self) -> Iterator[Store]:
        """The queue, opened for one request. Raises StoreError and its kinds."""
        with Store.open(self.settings.store, now=self.now) as opened:
            yield opened


def office_of(request: Request) -> Office:
    """The office of the app that serves this request."""
    office: Office = request.app.state.office
    return office


def person_of(request: Request) -> Person:
    """Who is acting: put into the request's scope by the safety middleware, else the one the program was started by."""
    person: Person | None = request.scope.get("person")
    return person or Person(office_of(request).settings.person)

"""Who is acting: signed in, known by the name told, or sent to the door."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from triage.bench.office import Office, Person
from triage.bench.safety.plain import refusal
from triage.bench.safety.roles import may_change, room_of
from triage.bench.safety.throttle import Throttle
from triage.store import Member, Role, StoreError

SIGNED_IN = timedelta(hours=12)  # a long working day
_OPEN = frozenset({"sign-in", "sign-out", "static"})
_BUSY = "The queue is in use, or cannot be read just now. Wait a little, then try once more; nothing was changed."


@dataclass(frozen=True)
class Door:
    """How people come in. `locked`: with a password only, and guessing is slowed down."""

    locked: bool
    by_name: Throttle = field(default_factory=lambda: Throttle(free=5))
    by_address: Throttle = field(default_factory=lambda: Throttle(free=15))


class People:
    """Puts the person, and the door, into the request's scope."""

    def __init__(self, app: ASGIApp, office: Office, locked: bool) -> None:
        self.app = app
        self.office = office
        self.door = Door(locked)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        scope["door"] = self.door
        try:
            person = await run_in_threadpool(self._person, scope)
        except StoreError:
            await refusal(scope, 503, "The queue does not answer", _BUSY)(scope, receive, send)
            return
        answer = _refused(scope, person)
        scope["person"] = person or Person("")
        await (answer or self.app)(scope, receive, send)

    def _person(self, scope: Scope) -> Person | None:
        if room_of(scope["path"]) == "static":
            return None
        return self._signed_in(scope) if self.door.locked else self._told(scope)

    def _signed_in(self, scope: Scope) -> Person | None:
        name = str(scope["session"].get("name", ""))
        with self.office.store() as store:
            member = store.staff.find(name) if name else None
        valid = member and still_signed_in(scope["session"], member, self.office.now())
        return Person(member.name, member.role) if member and valid else None

    def _told(self, scope: Scope) -> Person | None:
        """At the shop's own machine a name is enough: whoever sits there can read the files anyway."""
        name = str(scope["session"].get("name", "")) or self.office.settings.person
        return Person(name, Role.EDITOR) if name else None


def still_signed_in(session: dict[str, object], member: Member, now: datetime) -> bool:
    """True for a sign-in with the present password that is not too old."""
    try:
        since = datetime.fromisoformat(str(session.get("since", "")))
    except ValueError:
        return False
    return session.get("stamp") == member.stamp and timedelta() <= now - since < SIGNED_IN


def _refused(scope: Scope, person: Person | None) -> ASGIApp | None:
    """What to answer instead of the page; None when the page may be shown."""
    if room_of(scope["path"]) in _OPEN:
        return None
    if not person:
        return _to_the_door(scope)
    if scope["method"] not in ("GET", "HEAD") and not may_change(person.role, scope["path"]):
        return refusal(scope, 403, "Not yours to change", _not_yours(person))
    return None


def _not_yours(person: Person) -> str:
    return f"{person.name} may look here, but not change anything. 'triage staff role' gives somebody another role."


def _to_the_door(scope: Scope) -> ASGIApp:
    """A page leads there; for a part of a page, or a form, words, so that what was typed stays where it is."""
    part = Headers(scope=scope).get("hx-request") == "true"
    if scope["method"] == "GET" and not part:
        query = f"?{scope['query_string'].decode('latin-1')}" if scope["query_string"] else ""
        return RedirectResponse(f"/sign-in?to={quote(scope['path'] + query, safe='')}", 303)
    says = "You are signed out. Sign in again, then go on; what you typed is still there."
    return refusal(scope, 401, "Signed out", says, back="/sign-in", onward="Sign in")

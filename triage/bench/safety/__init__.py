"""Safety of the page: who may come in, and what a page may do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.middleware import Middleware
from starlette.middleware.body_limit import RequestBodyLimitMiddleware
from starlette.routing import BaseRoute

from triage.bench.safety import attachments, sign_in
from triage.bench.safety.doors import allowed_names, must_sign_in
from triage.bench.safety.forgery import SameSite
from triage.bench.safety.headers import Headers
from triage.bench.safety.hosts import KnownHosts
from triage.bench.safety.people import People
from triage.bench.safety.sessions import Sessions
from triage.bench.safety.unexpected import Unexpected

if TYPE_CHECKING:
    from triage.bench.office import Office

__all__ = ["LARGEST_BODY", "protections", "routes"]

LARGEST_BODY = 2 << 20  # bytes of a request; the longest reply is a small part of it

routes: tuple[BaseRoute, ...] = (*sign_in.routes, *attachments.routes)


def protections(office: Office) -> list[Middleware]:
    """The middleware around every page, outermost first.

    Raises StoreError where the key that signs the cookies can be neither read nor made.
    """
    with office.store() as store:
        key = store.staff.key("cookies")
    return [
        Middleware(Headers),
        Middleware(Unexpected),
        Middleware(KnownHosts, names=allowed_names(office.settings)),
        Middleware(RequestBodyLimitMiddleware, max_body_size=LARGEST_BODY),
        Middleware(Sessions, key=key, store=office.settings.store),
        Middleware(SameSite, key=key),
        Middleware(People, office=office, locked=must_sign_in(office.settings)),
    ]

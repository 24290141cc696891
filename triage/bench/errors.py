"""What a person is told when something cannot be done."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from triage.bench.asked import Unreadable
from triage.bench.rendering import is_part, page
from triage.store import MoveRefused, NotFound, StoreBusy, StoreError, StoreFull

_STATUS: tuple[tuple[type[Exception], int, str], ...] = (
    (NotFound, 404, "That is not here"),
    (StoreBusy, 503, "The queue is in use"),
    (StoreFull, 507, "There is no room left"),
    (MoveRefused, 409, "That cannot be done from here"),
    (StoreError, 409, "The queue would not take that"),
)


def store_trouble(request: Request, error: Exception) -> Response:
    """What the store said, in its own words, with the status that fits."""
    status, title = next((status, title) for kind, status, title in _STATUS if isinstance(error, kind))
    return trouble(request, status, title, str(error))


def not_understood(request: Request, error: Exception) -> Response:
    """A form or an address that does not fit."""
    return trouble(request, 422, "That could not be understood", str(error))


def not_served(request: Request, error: Exception) -> Response:
    """A wrong address, or a method a page does not have."""
    status = error.status_code if isinstance(error, HTTPException) else 500
    says = "The address may be old or mistyped." if status == 404 else "Go back and try again from the page itself."
    return trouble(request, status, "There is no such page", says)


def trouble(request: Request, status: int, title: str, says: str) -> Response:
    """A page that says what is wrong; for htmx a box over the page, so that nothing typed there is lost."""
    response = page(request, "trouble.html", status=status, title=title, says=says)
    if is_part(request):
        response.headers["HX-Retarget"], response.headers["HX-Reswap"] = "#trouble", "innerHTML"
    return response


HANDLERS = {StoreError: store_trouble, Unreadable: not_understood, HTTPException: not_served}

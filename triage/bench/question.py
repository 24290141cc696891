"""One question: its page, who is at it, and what a person does to the thread."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from triage.bench.asked import whole
from triage.bench.office import Office, office_of, person_of
from triage.bench.redraft import Manner
from triage.bench.rendering import is_part, page, posting, see
from triage.bench.views.question import Page, question_page
from triage.desk import OURS
from triage.model import Draft
from triage.store import Filters, NotFound, Store, StoreBusy, StoreFull

IN_LINE = 60  # threads looked through for the next one


def number_of(request: Request) -> int:
    """The thread an address names."""
    return int(request.path_params["thread"])


def show(request: Request) -> Response:
    """The page; whoever opens it is at the question, unless another is already."""
    office, person = office_of(request), person_of(request)
    with office.store() as store:
        sit_down(store, number_of(request), person.name)
        view = view_of(store, office, number_of(request), person.name)
    return page(request, "question.html", q=view)


def sit_down(store: Store, number: int, person: str) -> None:
    """Be at this question, and at no other; a store that cannot be written now can still be read."""
    with suppress(StoreBusy, StoreFull):
        store.together.claim(number, by=person)
        store.together.be_only_at(number, by=person)


def view_of(store: Store, office: Office, number: int, person: str, draft: Draft | None = None) -> Page:
    """The thread with all that belongs to it, as its page shows it."""
    thread = store.thread(number)
    if not thread.messages:
        raise NotFound(f"Thread {number} has no message.")
    return question_page(
        thread,
        office.stages.pack,
        office.now(),
        prior=store.prior(thread.id),
        entries=store.history(thread.id),
        claim=store.together.claims().get(thread.id),
        person=person,
        following=next_in_line(store, thread.id, person),
        draft=draft,
    )


def next_in_line(store: Store, after: int, person: str) -> int:
    """The next thread that is ours and nobody else is at: the one below in the list, else its first; 0 for none."""
    claims = store.together.claims()
    rows = store.queue(Filters(states=OURS, limit=IN_LINE))
    numbers = [row.thread for row in rows]
    below = numbers[numbers.index(after) + 1 :] if after in numbers else []
    free = [n for n in (*below, *numbers) if n != after and (n not in claims or claims[n].person == person)]
    return free[0] if free else 0


def again(
    request: Request,
    *,
    said: str = "",
    status: int = 200,
    draft: Draft | None = None,
    manner: Manner | None = None,
    **more: Any,
) -> Response:
    """The question once more after a change: swapped in, or as the page it is."""
    if not is_part(request) and status == 200 and draft is None:
        return see(request, f"/question/{number_of(request)}")
    office, person = office_of(request), person_of(request)
    with office.store() as store:
        view = view_of(store, office, number_of(request), person.name, draft)
    if manner:
        view = replace(view, letter=replace(view.letter, manner=manner))
    template = "question_card.html" if is_part(request) else "question.html"
    return page(request, template, status=status, q=view, said=said, **more)


def here(request: Request) -> Response:
    """A sign of life from an open page; the answer says who else is here and what changed since it was made."""
    office, person = office_of(request), person_of(request)
    shown, replies = (whole(request.query_params.get(name)) for name in ("draft", "replies"))
    with office.store() as store:
        thread = store.thread(number_of(request))
        claim = store.together.claim(thread.id, by=person.name)
    newer = thread.drafts[-1] if len(thread.drafts) > shown else None
    reply = thread.replies[-1] if len(thread.replies) > replies else None
    taken_by = "" if claim.person == person.name else claim.person
    return page(request, "question_here.html", thread=thread.id, taken_by=taken_by, newer=newer, reply=reply)


def take_over(request: Request, form: FormData) -> Response:
    """Be at a question that another was at."""
    with office_of(request).store() as store:
        store.together.claim(number_of(request), by=person_of(request).name, take_over=True)
    return again(request, said="It is yours now.")


def note(request: Request, form: FormData) -> Response:
    """Leave a note for colleagues."""
    words = str(form.get("note", "")).strip()
    if words:
        with office_of(request).store() as store:
            store.note(number_of(request), words, by=person_of(request).name)
    return again(request, said="Noted." if words else "There were no words to note.")


def move(request: Request, form: FormData) -> Response:
    """Settle the thread, put it aside, or open it again; then the next in line."""
    to, why, by = str(form.get("to", "")), str(form.get("why", "")).strip(), person_of(request).name
    number = number_of(request)
    with office_of(request).store() as store:
        following = next_in_line(store, number, by)
        if to == "settled":
            store.settle(number, by=by, outcome=why)
        elif to == "set_aside":
            store.set_aside(number, by=by, why=why)
        else:
            store.reopen(number, by=by, why=why)
            following = number
        store.together.leave(number, by=by)
    return see(request, f"/question/{following}" if following else "/")


routes = (
    Route("/question/{thread:int}", show),
    Route("/question/{thread:int}/here", here),
    Route("/question/{thread:int}/mine", posting(take_over), methods=["POST"]),
    Route("/question/{thread:int}/note", posting(note), methods=["POST"]),
    Route("/question/{thread:int}/move", posting(move), methods=["POST"]),
)
nav = ()

"""Correcting, denying and adding facts of a question; everything that hangs on them is read again at once."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from triage.bench.acting import typed
from triage.bench.asked import whole
from triage.bench.correcting import said_of
from triage.bench.office import Office, office_of, person_of
from triage.bench.question import again, number_of
from triage.bench.rendering import is_part, page, posting
from triage.bench.views.fact import fact_form
from triage.desk import read_thread
from triage.model import Fact
from triage.store import Store, StoreError, Thread
from triage.unusable import Unusable


def form(request: Request) -> Response:
    """The small form for one fact, or for adding one."""
    asked = request.query_params
    view = fact_form(
        office_of(request).stages.pack,
        asked.get("name", ""),
        asked.get("value", ""),
        whole(asked.get("vehicle"), 1),
        by_person=asked.get("set") == "1",
    )
    return page(request, "fact_form.html" if is_part(request) else "fact_page.html", f=view, thread=number_of(request))


def change(request: Request, given: FormData) -> Response:
    """What a person says of a fact, and the thread read again. What was typed into the reply is kept first."""
    office, by, number = office_of(request), person_of(request).name, number_of(request)
    with office.store() as store:
        thread = store.thread(number)
        try:
            facts = _facts_of(given, thread, office, by)
        except Unusable as error:
            return _told_what_is_wrong(request, given, str(error).replace("\nNothing was changed.", ""))
        _keep_typed(store, thread, given, by)
        _write(store, thread, given, facts, by)
        with office.reading:
            readings = read_thread(store.thread(number), store, office.stages)
    said = "Read again with what you said." if readings else "Kept. Somebody changed the thread meanwhile: look again."
    return again(request, said=said)


def _facts_of(given: FormData, thread: Thread, office: Office, by: str) -> tuple[Fact, ...]:
    if given.get("how") == "back":
        return ()
    present = tuple(fact for saved in thread.readings for fact in saved.reading.facts)
    was, value = str(given.get("was", "")), str(given.get("value", "")).strip()
    return said_of(
        present,
        str(given.get("name", "")),
        whole(given.get("vehicle"), 1),
        was,
        value or was,
        "is_not" if given.get("how") == "is_not" else "is",
        office.stages.pack,
        by,
    )


def _write(store: Store, thread: Thread, given: FormData, facts: tuple[Fact, ...], by: str) -> None:
    if facts:
        store.set_fact(thread.id, *facts, by=by)
    else:
        store.withdraw_fact(thread.id, str(given.get("name", "")), by=by, vehicle=whole(given.get("vehicle"), 1))


def _keep_typed(store: Store, thread: Thread, given: FormData, by: str) -> None:
    """Words typed into the reply become a version of their own before the reading makes a new one."""
    written = typed(thread, given)
    if not written.changed:
        return
    try:
        store.together.save_draft(thread.id, written.draft, base=written.base, by=by)
    except StoreError:
        store.together.keep_apart(thread.id, written.draft, base=written.base, by=by)


def _told_what_is_wrong(request: Request, given: FormData, wrong: str) -> Response:
    pack = office_of(request).stages.pack
    view = fact_form(
        pack,
        str(given.get("name", "")),
        str(given.get("was", "")),
        whole(given.get("vehicle"), 1),
        typed=str(given.get("value", "")),
        wrong=wrong,
    )
    template = "fact_form.html" if is_part(request) else "fact_page.html"
    response = page(request, template, f=view, thread=number_of(request), status=422)
    response.headers["HX-Retarget"], response.headers["HX-Reswap"] = "#fact", "innerHTML"
    return response


routes = (
    Route("/question/{thread:int}/fact", form),
    Route("/question/{thread:int}/fact", posting(change), methods=["POST"]),
)
nav = ()

"""The worksheets' pages: the list, one worksheet, its outcome into a reply."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from triage.bench.asked import Unreadable, whole
from triage.bench.inserting import put_into_reply
from triage.bench.office import office_of, person_of
from triage.bench.rendering import page, posting, see
from triage.bench.sheets.filling import Filled, blank, filled
from triage.bench.sheets.groups import GROUPS
from triage.bench.sheets.known import known_values
from triage.bench.sheets.plot import plotted
from triage.bench.sheets.telling import words_for
from triage.physics.worksheet import InputError, Worksheet, find_worksheet
from triage.store import Thread

LONGEST_WORDS = 4_000  # characters put into a reply at once


def show_list(request: Request) -> Response:
    """Every worksheet by what it is about."""
    return page(request, "sheets_list.html", groups=GROUPS, question=whole(request.query_params.get("thread")))


def show(request: Request) -> Response:
    """One worksheet; with its values in the address, the result too."""
    sheet, number = _sheet(request), whole(request.query_params.get("question"))
    form = _form(request, sheet, _thread(request, number) if number else None)
    return page(
        request,
        "sheets_form.html",
        status=422 if form.faults or form.wrong else 200,
        sheet=sheet,
        form=form,
        plot=plotted(form.result) if form.result else None,
        words=words_for(form.result) if form.result else "",
        question=number,
    )


def put(request: Request, form: FormData) -> Response:
    """The words, as somebody left them, into the draft of a question."""
    sheet, number = _sheet(request), whole(form.get("question"))
    words = str(form.get("words", "")).strip()
    if not number:
        raise Unreadable("Which question's reply? Write its number, as the list of those who wait shows it.")
    if not words or len(words) > LONGEST_WORDS:
        raise Unreadable(f"Write what shall stand in the reply: 1 to {LONGEST_WORDS} characters.")
    with office_of(request).store() as store:
        put_into_reply(store, number, words, source=f"sheet:{sheet.name}", by=person_of(request).name)
    return see(request, f"/question/{number}#reply")


def _sheet(request: Request) -> Worksheet:
    try:
        return find_worksheet(request.path_params["name"])
    except InputError as error:
        raise HTTPException(404) from error


def _form(request: Request, sheet: Worksheet, thread: Thread | None) -> Filled:
    """What was typed, worked out; before anything was, the form with what the question told."""
    names = {item.name for item in sheet.inputs}
    given = {name: value for name, value in request.query_params.items() if name in names}
    return filled(sheet, given) if given else blank(sheet, known_values(thread) if thread else {})


def _thread(request: Request, number: int) -> Thread:
    with office_of(request).store() as store:
        return store.thread(number)


routes = (
    Route("/sheets", show_list),
    Route("/sheets/{name}", show),
    Route("/sheets/{name}/reply", posting(put), methods=["POST"]),
)
nav = (("/sheets", "Worksheets"),)

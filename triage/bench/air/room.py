"""The pages of the live hour: the hour itself, its presses, its live questions, its end, and the figures."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from itertools import count

from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from triage import producer
from triage.after_hour import figures
from triage.bench.air.asked import Heard, heard
from triage.bench.air.running import hour_of, pressed
from triage.bench.air.views import items, standing
from triage.bench.asked import Unreadable
from triage.bench.office import Office, office_of, person_of
from triage.bench.rendering import page, posting, rendered, see
from triage.segment.live import CLOSING, LONGEST_NOTE, OPENING, Hour, Press, advice_at, hour_to
from triage.segment.programme import Programme, Spoken
from triage.segment.timing import seconds
from triage.store import Store

KINDS = ("begin", "turn", "note", "add")
_number = count(1)


def coming(request: Request) -> Response:
    """The hour that comes next, or the one just over; without any, how to plan one."""
    office = office_of(request)
    with office.store() as store:
        weeks = store.programmes.weeks()
    ahead = [one for one in weeks if not one.aired]
    if not weeks:
        return page(request, "air_none.html")
    return RedirectResponse(f"/air/{(ahead or weeks[-1:])[0].day}", 303)


def show(request: Request) -> Response:
    """The whole hour: everything is on the page, so that it can go on without the workbench."""
    with office_of(request).store() as store:
        programme = _programme(store, request)
        hour, rate = hour_of(store, programme), _rate(store, request)
    return _page(request, programme, hour, rate)


def press(request: Request, form: FormData) -> Response:
    """One press. A script gets the state as JSON, a form the page."""
    office = office_of(request)
    kind = str(form.get("kind", ""))
    if kind not in KINDS:
        raise Unreadable("This page is too old: open it again.")
    with office.store() as store:
        programme = _programme(store, request)
        hour = pressed(store, programme, _press(form, kind, office), by=person_of(request).name)
        rate = _rate(store, request)
    if form.get("script"):
        return JSONResponse(_state(programme, hour, _moment(form.get("clock"), office), rate))
    return see(request, f"/air/{programme.day}")


def clock(request: Request) -> Response:
    """How the hour stands at the moment that the browser names, as JSON."""
    office = office_of(request)
    with office.store() as store:
        programme = _programme(store, request)
        hour, rate = hour_of(store, programme), _rate(store, request)
    moment = _moment(request.query_params.get("now"), office)
    return JSONResponse(_state(programme, hour, moment, rate))


def ask(request: Request, form: FormData) -> Response:
    """A live question: kept first, then read."""
    office = office_of(request)
    words = str(form.get("text", "")).strip()
    if not words or len(words) > LONGEST_NOTE:
        raise Unreadable(f"Type the question: 1 to {LONGEST_NOTE} characters.")
    with office.store() as store:
        programme = _programme(store, request)
        hour = pressed(store, programme, _press(form, "ask", office), by=person_of(request).name)
        rate = _rate(store, request)
    found = heard(words, office)
    if form.get("script"):
        return Response(rendered(request, "air_heard.html", heard=found), media_type="text/html")
    return _page(request, programme, hour, rate, found)


def over(request: Request, form: FormData) -> Response:
    """The hour is over: from now on it stays as it was."""
    office = office_of(request)
    with office.store() as store:
        programme = _programme(store, request)
        producer.close(store, programme.day, by=person_of(request).name)
    return see(request, f"/air/{programme.day}")


def show_figures(request: Request) -> Response:
    """The weeks in charts."""
    office = office_of(request)
    with office.store() as store:
        found = figures(store, office.stages.pack, office.now().date())
    return page(request, "air_figures.html", charts=found)


def _page(request: Request, programme: Programme, hour: Hour, rate: float, found: Heard | None = None) -> Response:
    """The hour as it stands, with what was just asked live."""
    return page(
        request,
        "air_hour.html",
        programme=programme,
        hour=hour,
        items=items(programme, hour, _frame(programme, rate)),
        state=_state(programme, hour, office_of(request).now().timestamp(), rate),
        how=list(Spoken),
        heard=found,
    )


def _rate(store: Store, request: Request) -> float:
    return producer.host_rate(store, office_of(request).stages.pack)


def _programme(store: Store, request: Request) -> Programme:
    try:
        day = date.fromisoformat(request.path_params["day"])
    except ValueError as error:
        raise HTTPException(404) from error
    return store.programmes.get(day)


def _press(form: FormData, kind: str, office: Office) -> Press:
    """A press as the browser tells it; its id makes it count once."""
    how = str(form.get("how", Spoken.SAID.value))
    if how not in {one.value for one in Spoken}:
        raise Unreadable("This page is too old: open it again.")
    moment = _moment(form.get("now"), office)
    made = f"form-{moment}-{next(_number)}"
    return Press(
        id=str(form.get("id") or made)[:80],
        kind=kind,
        moment=moment,
        place=str(form.get("place", "")),
        how=Spoken(how),
        text=str(form.get("text", "")),
    )


def _moment(told: object, office: Office) -> float:
    """Seconds since 1970 by the browser's clock, which times the hour, right or wrong; by ours if it tells none."""
    try:
        moment = float(str(told))
    except ValueError:
        return office.now().timestamp()
    return moment if 0 < moment < 1e11 else office.now().timestamp()


def _frame(programme: Programme, rate: float) -> Mapping[str, float]:
    tip = programme.tip.text if programme.tip else ""
    return {OPENING: seconds(f"{programme.opening} {tip}", rate), CLOSING: seconds(programme.closing, rate)}


def _state(programme: Programme, hour: Hour, moment: float, rate: float) -> dict[str, object]:
    """What the script needs to go on: the state, and what to do about the time."""
    shown = items(programme, hour, _frame(programme, rate))
    stands = standing(advice_at(programme, hour, moment, rate), shown, programme)
    return {
        "hour": hour_to(hour),
        "says": stands.says,
        "drop": list(stands.drop),
        "add": stands.add,
        "places": [item.place for item in shown],
    }


routes = (
    Route("/air", coming),
    Route("/air/figures", show_figures),
    Route("/air/{day}", show),
    Route("/air/{day}/clock", clock),
    Route("/air/{day}/press", posting(press), methods=["POST"]),
    Route("/air/{day}/ask", posting(ask), methods=["POST"]),
    Route("/air/{day}/over", posting(over), methods=["POST"]),
)
nav = (("/air", "On air"),)

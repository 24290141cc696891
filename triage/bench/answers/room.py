"""The pages of the answer base: the list, one proposal with what speaks about it, and the editor's decisions."""

from __future__ import annotations

from collections.abc import Callable

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from triage.bench.answers.deciding import chosen, reworded
from triage.bench.answers.difference import KINDS, changes, origins
from triage.bench.answers.memory import memory_of
from triage.bench.answers.views import STRIP, counted, effect_view, topics_of, waiting_lines
from triage.bench.office import Office, office_of, person_of
from triage.bench.rendering import page, posting, see
from triage.bench.safety.roles import may_change
from triage.editor import beside, look, refuse, reword, take
from triage.editor_combine import merge_proposals, merge_with_answer, split
from triage.editor_views import answer_standings, open_topics
from triage.growth.proposal import Proposal, State
from triage.growth.propose import sentences_of
from triage.store import Store
from triage.unusable import Unusable

REASONS = ("it is wrong", "it is there already", "it is for one asker only", "it says nothing new")
MOST_STALE = 30


def show_list(request: Request) -> Response:
    """Proposals that wait; topics and stale answers come after, as they take longer."""
    office = office_of(request)
    with office.store() as store:
        lines = waiting_lines(store.proposals.all(State.WAITING))
    size = counted(len(office.stages.pack.answers), "answer")
    return page(request, "answers_list.html", lines=lines, size=size, may_change=_may(request), later=True)


def show_lacking(request: Request) -> Response:
    """What is asked in vain, and which answers want another look."""
    office = office_of(request)
    today = office.now().date()
    with office.store() as store, office.reading:
        topics = open_topics(store, office.stages, today)
        stale = [one for one in answer_standings(store, office.stages.pack, today) if one.stale]
    width, height = STRIP
    return page(
        request, "answers_lacking.html", topics=topics_of(topics, today), stale=stale[:MOST_STALE],
        more=max(0, len(stale) - MOST_STALE), width=width, height=height,
    )  # fmt: skip


def show_one(request: Request) -> Response:
    """One proposal."""
    with office_of(request).store() as store:
        proposal = store.proposals.get(_number(request))
        return _one(request, store, proposal)


def _one(request: Request, store: Store, proposal: Proposal, wrong: str = "") -> Response:
    office, memory = office_of(request), memory_of(request)
    with office.reading:
        found = beside(proposal, office.stages, memory.reader(office))
    job = memory.rereads.of(proposal, office)
    waits = proposal.state is State.WAITING
    pack = office.stages.pack
    titles = {answer.id: answer.title for answer in (*pack.answers, *proposal.after)}
    return page(
        request, "answers_one.html", status=422 if wrong else 200, proposal=proposal, kind=KINDS[proposal.kind],
        askers=counted(proposal.askers, "asker"), state="" if waits else _decided(proposal),
        dangers=[pack.hazards[name].label if name in pack.hazards else name for name in proposal.hazards],
        two=pack.shop.two_for_hazards, disagreements=found.disagreements, neighbours=found.neighbours, titles=titles,
        changes=changes(proposal), elsewhere=list(origins(proposal)), job=job,
        effect=effect_view(job.effects, titles) if job.effects else None, may_change=_may(request), open=waits,
        reasons=REASONS, others=_others(store, proposal, found.neighbours, titles), wrong=wrong,
        sentences=sentences_of(proposal.after[0]) if len(proposal.after) == 1 else (),
    )  # fmt: skip


def _decided(proposal: Proposal) -> str:
    return f"Refused: {proposal.reason}" if proposal.state is State.REFUSED else "Taken into the base."


def _others(store: Store, proposal: Proposal, neighbours: object, titles: dict[str, str]) -> list[tuple[str, str]]:
    """What it can be joined with: the nearest answers, then what else waits."""
    if len(proposal.after) != 1:
        return []
    near = [(f"answer {one.answer}", titles[one.answer]) for one in neighbours]  # type: ignore[attr-defined]
    waits = [one for one in store.proposals.all(State.WAITING) if one.id != proposal.id and len(one.after) == 1]
    return [*near, *((f"proposal {one.id}", f"Proposal {one.id}: {one.title}") for one in waits)]


def show_effect(request: Request) -> Response:
    """How far the reading again has come, or what came of it."""
    office = office_of(request)
    with office.store() as store:
        proposal = store.proposals.get(_number(request))
    job = memory_of(request).rereads.of(proposal, office)
    titles = {answer.id: answer.title for answer in (*office.stages.pack.answers, *proposal.after)}
    effect = effect_view(job.effects, titles) if job.effects else None
    return page(request, "answers_effect.html", proposal=proposal, job=job, effect=effect)


def look_through(request: Request, form: FormData) -> Response:
    """Make proposals from what was sent since the last look."""
    office = office_of(request)
    with office.store() as store, office.reading:
        look(store, office.stages, on=office.now().date(), by=person_of(request).name)
    return see(request, "/answers")


def take_it(request: Request, form: FormData) -> Response:
    """Into the base, or the first of two agreements."""
    office = office_of(request)
    with office.store() as store, memory_of(request).deciding:
        number = _number(request)
        taken = take(store, office.stages.pack, number, by=person_of(request).name, on=office.now().date())
        if taken.pack is not None:
            with office.reading:
                office.grow(taken.pack)
    return see(request, f"/answers/{number}" if taken.waits else "/answers")


def _changing(change: Callable[[Store, Office, int, FormData, str], str]) -> Callable[[Request, FormData], Response]:
    """A handler around a change that gives the address to go on to; what cannot be done is told on the page."""

    def handle(request: Request, form: FormData) -> Response:
        office, number = office_of(request), _number(request)
        with office.store() as store:
            try:
                return see(request, change(store, office, number, form, person_of(request).name))
            except Unusable as error:
                return _one(request, store, store.proposals.get(number), str(error))

    return handle


def _refuse(store: Store, office: Office, number: int, form: FormData, by: str) -> str:
    refuse(store, number, str(form.get("why", "")), by=by)
    return "/answers"


def _reword(store: Store, office: Office, number: int, form: FormData, by: str) -> str:
    after = reworded(store.proposals.get(number).after, form)
    reword(store, number, *after, by=by)
    return f"/answers/{number}"


def _merge(store: Store, office: Office, number: int, form: FormData, by: str) -> str:
    kind, name = chosen(form)
    if kind == "answer":
        merge_with_answer(store, office.stages.pack, number, name, by=by)
    else:
        merge_proposals(store, office.stages.pack, number, int(name), by=by)
    return f"/answers/{number}"


def _split(store: Store, office: Office, number: int, form: FormData, by: str) -> str:
    places = [int(str(place)) + 1 for place in form.getlist("sentence") if str(place).isdigit()]
    title = " ".join(str(form.get("title", "")).split())
    if not title:
        raise Unusable("Give the second answer a title.")
    split(store, office.stages.pack, number, places, title=title, question=title, by=by)
    return f"/answers/{number}"


def _number(request: Request) -> int:
    return int(request.path_params["number"])


def _may(request: Request) -> bool:
    return may_change(person_of(request).role, "/answers")


routes = (
    Route("/answers", show_list),
    Route("/answers/lacking", show_lacking),
    Route("/answers/look", posting(look_through), methods=["POST"]),
    Route("/answers/{number:int}", show_one),
    Route("/answers/{number:int}/effect", show_effect),
    Route("/answers/{number:int}/take", posting(take_it), methods=["POST"]),
    Route("/answers/{number:int}/refuse", posting(_changing(_refuse)), methods=["POST"]),
    Route("/answers/{number:int}/reword", posting(_changing(_reword)), methods=["POST"]),
    Route("/answers/{number:int}/merge", posting(_changing(_merge)), methods=["POST"]),
    Route("/answers/{number:int}/split", posting(_changing(_split)), methods=["POST"]),
)
nav = (("/answers", "Answers"),)

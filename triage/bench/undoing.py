"""Taking back what a person did last to a thread; the history keeps both."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from triage.bench.office import Office, office_of, person_of
from triage.bench.question import again, number_of
from triage.bench.rendering import posting
from triage.contract import fact_from_json
from triage.desk import READER, read_thread
from triage.store import HistoryEntry, Store, StoreError, Thread, What

_CAN_BE_TAKEN_BACK = (What.FACT, What.FACT_WITHDRAWN, What.DRAFT, What.STATE)
_BY_ITSELF = "draft"  # a move that a saved draft brought about


def undo(request: Request, form: FormData) -> Response:
    """Take back the last thing that a person did."""
    office, by = office_of(request), person_of(request).name
    with office.store() as store:
        said = take_back(store, office, number_of(request), by)
    return again(request, said=said)


def take_back(store: Store, office: Office, number: int, by: str) -> str:
    """Do it, and say what was taken back. Raises StoreError where there is nothing."""
    thread = store.thread(number)
    entry = last_of_a_person(store.history(thread.id))
    if entry is None:
        raise StoreError("Nothing was done here that could be taken back.")
    if entry.what in (What.FACT, What.FACT_WITHDRAWN):
        _facts_back(store, entry, thread, by)
        with office.reading:
            read_thread(store.thread(number), store, office.stages)
        return "The fact is as it was before."
    if entry.what is What.DRAFT:
        return _draft_back(store, entry, thread, by)
    return f"It is {store.undo(number, by=by).label} again."


def last_of_a_person(entries: list[HistoryEntry]) -> HistoryEntry | None:
    """The latest change by a person that can be taken back; a move made by saving a draft goes with the draft."""
    for entry in reversed(entries):
        moved_along = entry.what is What.STATE and str(entry.after.get("why", "")).startswith(_BY_ITSELF)
        if entry.by != READER and entry.what in _CAN_BE_TAKEN_BACK and not moved_along:
            return entry
    return None


def _facts_back(store: Store, entry: HistoryEntry, thread: Thread, by: str) -> None:
    before, after = (_facts(entry, side) for side in ("before", "after"))
    if before:
        store.set_fact(thread.id, *(fact_from_json(record) for record in before), by=by)
        return
    standing = {(fact.name, fact.vehicle) for fact in thread.facts}
    for name, vehicle in {(str(r["name"]), int(r["vehicle"])) for r in after}:
        if (name, vehicle) in standing:
            store.withdraw_fact(thread.id, name, by=by, vehicle=vehicle)


def _facts(entry: HistoryEntry, side: str) -> list[dict[str, str | int]]:
    facts = (entry.before if side == "before" else entry.after).get("facts", [])
    return list(facts) if isinstance(facts, list) else []


def _draft_back(store: Store, entry: HistoryEntry, thread: Thread, by: str) -> str:
    version = int(str(entry.after["version"]))
    if version < 2:
        raise StoreError("This is the first version of the reply: there is none before it.")
    before = thread.drafts[version - 2]
    store.together.save_draft(thread.id, before.draft, base=len(thread.drafts), by=by)
    return f"Version {before.version} of the reply is back."


routes = (Route("/question/{thread:int}/undo", posting(undo), methods=["POST"]),)
nav = ()

"""The reply: kept, made anew, added to, taken away as a mail, and recorded as gone."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Sequence
from dataclasses import replace

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from triage.bench.acting import Typed, in_manner, manner_from, put_in, still_missing, typed
from triage.bench.asked import whole
from triage.bench.office import Office, office_of, person_of
from triage.bench.question import again, next_in_line, number_of, view_of
from triage.bench.rendering import is_part, page, posting, see
from triage.bench.views.beside import brought_together, side_by_side
from triage.bench.views.question import hazard_names, letter
from triage.desk import answered_message, asks_back
from triage.model import Draft
from triage.reply.outgoing import to_eml
from triage.store import DraftMoved, Store, Thread

_IS_IN = {
    "check": "The check is in the reply.",
    "question": "The question is in the reply.",
    "settling": "The question is in the reply.",
    "note": "The safety note is in the reply.",
}
Made = Callable[[Thread, Typed, Office], Draft]
_ASKS = ("gap:", "conflict:", "reworded:gap:", "reworded:conflict:")


def keep(request: Request, form: FormData) -> Response:
    """Keep what was typed."""
    return _change(request, form, lambda thread, written, office: written.draft, "Kept.")


def put(request: Request, form: FormData) -> Response:
    """Put a check, a question or a safety note in."""
    kind, _, name = str(form.get("put", "")).partition(":")

    def made(thread: Thread, written: Typed, office: Office) -> Draft:
        return put_in(kind, name, written.draft, thread, office.stages)

    return _change(request, form, made, _IS_IN.get(kind, "It is in the reply."))


def anew(request: Request, form: FormData) -> Response:
    """Make it anew: with another answer, or in another manner. What stood there stays as a version."""

    def made(thread: Thread, written: Typed, office: Office) -> Draft:
        return in_manner(thread, office.stages, form, written.draft)

    return _change(request, form, made, "The reply was made anew.", keep_typed=True)


def bring_back(request: Request, form: FormData) -> Response:
    """An earlier version as the latest one."""

    def made(thread: Thread, written: Typed, office: Office) -> Draft:
        number = whole(form.get("version"))
        return thread.drafts[number - 1].draft if 0 < number <= len(thread.drafts) else written.draft

    return _change(request, form, made, "Brought back.", keep_typed=True)


def _change(request: Request, form: FormData, made: Made, said: str, *, keep_typed: bool = False) -> Response:
    """One change of the reply, made from what stands in the browser; nothing typed is lost whatever comes between."""
    office, by = office_of(request), person_of(request).name
    with office.store() as store:
        thread = store.thread(number_of(request))
        written = typed(thread, form)
        base = written.base
        try:
            if keep_typed and written.changed:
                base = store.together.save_draft(thread.id, written.draft, base=base, by=by)
            draft = made(thread, written, office)
            if not keep_typed and (missing := still_missing(written, draft)):
                return _why(request, written.draft, missing, office)
            if draft != _at(thread, base):
                store.together.save_draft(thread.id, draft, base=base, by=by, left_out=written.reasons)
        except DraftMoved:
            return _both(request, store, thread, written, by)
    return again(request, said=said, manner=manner_from(form, office.stages) if keep_typed else None)


def _at(thread: Thread, version: int) -> Draft | None:
    return thread.drafts[version - 1].draft if 0 < version <= len(thread.drafts) else None


def _why(request: Request, draft: Draft, missing: Sequence[str], office: Office) -> Response:
    """Ask why a safety note is left out; what was typed stays on the page."""
    return again(request, status=422, draft=draft, left_out=hazard_names(missing, office.stages.pack))


def _both(request: Request, store: Store, thread: Thread, written: Typed, by: str) -> Response:
    """Somebody was quicker: both texts side by side, and what each changed brought together to look over."""
    store.together.keep_apart(thread.id, written.draft, base=written.base, by=by)
    now = store.thread(thread.id)
    theirs = now.drafts[-1]
    base = _at(now, written.base) or Draft("")
    together = brought_together(base, written.draft, theirs.draft)
    pack = office_of(request).stages.pack
    return page(
        request,
        "reply_both_part.html" if is_part(request) else "reply_both.html",
        status=409,
        thread=thread.id,
        rows=side_by_side(theirs.draft, written.draft),
        theirs=theirs,
        letter=letter(together, now.drafts, pack),
        q=view_of(store, office_of(request), thread.id, by),
    )


def versions(request: Request) -> Response:
    """Two versions side by side."""
    asked = request.query_params
    with office_of(request).store() as store:
        thread = store.thread(number_of(request))
    numbers = [whole(asked.get(name)) for name in ("one", "two")]
    one, two = ((_at(thread, number) or Draft("")) for number in numbers)
    return page(request, "reply_versions.html", thread=thread, rows=side_by_side(one, two), numbers=numbers)


def mail(request: Request) -> Response:
    """The latest draft as a mail that a mail program opens to be sent. Nothing is sent."""
    office = office_of(request)
    with office.store() as store:
        thread = store.thread(number_of(request))
        answered = answered_message(thread)
        answered = replace(answered, id=store.header_id(answered.id))
    if not thread.drafts:
        return page(request, "trouble.html", status=409, title="There is no draft yet", says="Write one first.")
    shop = office.stages.pack.shop
    name = f"{uuid.uuid4()}@{shop.mail.rpartition('@')[2]}"
    try:
        data = to_eml(thread.drafts[-1].draft, answered, shop, now=office.now(), message_id=name)
    except ValueError as error:
        return page(request, "trouble.html", status=409, title="No mail can be made", says=str(error))
    file = f'attachment; filename="reply-{thread.id}.eml"'
    return Response(data, media_type="message/rfc822", headers={"Content-Disposition": file})


def plain(request: Request) -> Response:
    """The latest draft as plain words."""
    with office_of(request).store() as store:
        thread = store.thread(number_of(request))
    return PlainTextResponse(thread.drafts[-1].draft.body + "\n" if thread.drafts else "")


def gone(request: Request, form: FormData) -> Response:
    """Record that the reply went out, or was told; then the next question in line."""
    office, by, number = office_of(request), person_of(request).name, number_of(request)
    how = str(form.get("how", "mail"))
    with office.store() as store:
        thread = store.thread(number)
        written = typed(thread, form)
        if written.left_out:
            return _why(request, written.draft, written.left_out, office)
        following = next_in_line(store, number, by)
        try:
            if written.changed or written.base != len(thread.drafts):
                store.together.save_draft(number, written.draft, base=written.base, by=by, left_out=written.reasons)
        except DraftMoved:
            return _both(request, store, thread, written, by)
        store.together.record_reply(
            number,
            written.draft.body,
            seen=whole(form.get("replies")),
            by=by,
            subject=written.draft.subject,
            how=how if how in ("mail", "phone", "chat") else "mail",
            asks=_waits(thread, written.draft),
        )
    return see(request, f"/question/{following}?after={number}" if following else f"/?after={number}")


def _waits(thread: Thread, draft: Draft) -> bool:
    """It asks for something: the thread then waits for its asker."""
    return asks_back(thread, draft.body) or any(s.source.startswith(_ASKS) and s.bullet for s in draft.sentences)


def _post(path: str, handle: Callable[[Request, FormData], Response]) -> Route:
    return Route(f"/question/{{thread:int}}/reply/{path}", posting(handle), methods=["POST"])


routes = (
    _post("keep", keep),
    _post("put", put),
    _post("anew", anew),
    _post("back", bring_back),
    _post("gone", gone),
    Route("/question/{thread:int}/reply/versions", versions),
    Route("/question/{thread:int}/reply.eml", mail),
    Route("/question/{thread:int}/reply.txt", plain),
)
nav = ()

"""What a person does to a reply: typed, kept, put in, answered with another, brought together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from starlette.datastructures import FormData

from triage.bench import inserting
from triage.bench.asked import Unreadable, whole
from triage.bench.redraft import Length, Manner, Spelling, built_on, redraft
from triage.bench.views import letter
from triage.bench.views.letter import dropped_notes, edited
from triage.model import Draft
from triage.pipeline import Stages
from triage.reply import Style
from triage.store import Thread

STYLES: dict[str, Style] = {"mail": "mail", "chat": "chat", "aloud": "aloud"}
SPELLINGS: dict[str, Spelling] = {"british": "british", "american": "american"}
LENGTHS: dict[str, Length] = {"full": "full", "short": "short"}


@dataclass(frozen=True, slots=True)
class Typed:
    """The reply as it stands in somebody's browser."""

    base: int  # version it was made from
    draft: Draft
    changed: bool  # differs from that version
    left_out: tuple[str, ...]  # hazards whose note is gone, and no reason was given
    reasons: dict[str, str]  # why notes were left out


def typed(thread: Thread, form: FormData) -> Typed:
    """Read the letter's form. Raises Unreadable for a version there is not."""
    base = whole(form.get("base"))
    if base > len(thread.drafts):
        raise Unreadable("This page is older than the queue. Open the question again.")
    before = thread.drafts[base - 1].draft if base else Draft(f"Re: {thread.subject or 'your question'}")
    blocks = _blocks(form)
    draft = edited(before, blocks, str(form.get("subject", ""))) if blocks else before
    reasons = {key.removeprefix("why-"): str(value).strip() for key, value in form.items() if key.startswith("why-")}
    gone = dropped_notes(before, draft)
    left_out = tuple(hazard for hazard in gone if not reasons.get(hazard))
    given = {hazard: reasons[hazard] for hazard in gone if reasons.get(hazard)}
    return Typed(base, draft, _differs(before, draft), left_out, given)


def still_missing(written: Typed, draft: Draft) -> tuple[str, ...]:
    """Hazards whose note was left out without a reason and that is not in this draft either."""
    there = {letter.hazard_of(sentence.source) for sentence in draft.sentences}
    return tuple(hazard for hazard in written.left_out if hazard not in there)


def _differs(before: Draft, after: Draft) -> bool:
    return (before.subject, before.body) != (after.subject, after.body)


def _blocks(form: FormData) -> Sequence[letter.Typed]:
    columns = ([str(value) for value in form.getlist(name)] for name in ("text", "source", "opens"))
    try:
        return [letter.Typed(text, source, opens != "0") for text, source, opens in zip(*columns, strict=True)]
    except ValueError as error:
        raise Unreadable("The reply came in pieces that do not fit. Open the question again.") from error


def put_in(kind: str, name: str, draft: Draft, thread: Thread, stages: Stages) -> Draft:
    """A check, a question or a safety note put into a reply. Raises Unreadable for what the pack does not have."""
    readings = [saved.reading for saved in thread.readings]
    notes = [note for reading in readings for note in reading.hazards]
    try:
        if kind == "check":
            return inserting.with_check(draft, name, stages.pack)
        if kind == "question":
            return inserting.with_question(draft, name, readings, stages.pack)
        if kind == "settling":
            return inserting.with_settling(draft, name, readings)
        if kind == "note":
            return inserting.with_note(draft, name, stages.pack, notes)
    except KeyError as error:
        raise Unreadable(f"The answer base has no {kind} '{name}' any more.") from error
    raise Unreadable(f"There is no such thing to put in: {kind}.")


def in_manner(thread: Thread, stages: Stages, form: FormData, draft: Draft) -> Draft:
    """The draft anew in the manner the form names, with the answers it has but for the one the form chooses.

    That is written "0:battery-watering": the place of the question, and the answer.
    """
    place, _, wanted = str(form.get("answer", "")).partition(":")
    answers = built_on(thread, draft) | ({whole(place): wanted} if wanted else {})
    try:
        return redraft(thread, stages, manner_from(form, stages), answers)
    except KeyError as error:
        raise Unreadable(str(error.args[0])) from error


def manner_from(form: FormData, stages: Stages) -> Manner:
    """The manner a form asks for; what it does not name is the shop's usual."""
    return Manner(
        STYLES.get(str(form.get("style")), "mail"),
        SPELLINGS.get(str(form.get("spelling")), stages.pack.shop.spelling),
        LENGTHS.get(str(form.get("length")), "full"),
    )

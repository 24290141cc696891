"""After the hour, where store, desk, pack and segment meet: reply drafts, carry-over, material, digest."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import partial

from triage.desk import draft_of
from triage.drawing import BarChart
from triage.model import Draft
from triage.pack import Pack
from triage.particulars import known_particulars
from triage.reply.wording import Phrasebook
from triage.segment.afterwards import CarriedOver, OnAir, Written, carried_over, material, noted, reply_draft, written
from triage.segment.digest import Digest, digest_of
from triage.segment.figures import Aired, Asked, charts
from triage.segment.matter import matter_of
from triage.segment.programme import Candidate, Programme, Said, Spoken
from triage.store import Store, Thread, ThreadState

OURS = (ThreadState.NEW, ThreadState.READY)
WAITS = (*OURS, ThreadState.WAITING_FOR_ASKER)


@dataclass(frozen=True, slots=True)
class Drafted:
    """What became of one question: a draft's version, or why there is none."""

    thread: int
    how: Spoken
    version: int = 0
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class Aftermath:
    """All that follows from an hour."""

    drafted: tuple[Drafted, ...]
    carried: tuple[CarriedOver, ...]
    material: tuple[OnAir, ...]


def follow_up(store: Store, pack: Pack, day: date, *, by: str) -> Aftermath:
    """Draft what was said to those askers and tell what is left. Raises NotFound, StoreError.

    Doing it again drafts only what was noted otherwise since: a draft that tells of this hour is not made twice.
    """
    programme = store.programmes.get(day)
    notes = store.programmes.said(day)
    book = Phrasebook(pack)
    said = [note for _, note in noted(programme, notes) if note.how is not Spoken.POSTPONED]
    drafted = tuple(_draft(store, pack, book, programme, note) for note in said)
    return Aftermath(drafted, carried_over(programme, notes), material_of(store, pack, day))


def material_of(store: Store, pack: Pack, day: date, *, only: Spoken | None = None) -> tuple[OnAir, ...]:
    """What was said in an hour, or what was said in one way (`only`), as the answer base wants it. Raises NotFound."""
    programme = store.programmes.get(day)
    notes = [note for note in store.programmes.said(day) if only in (None, note.how)]
    return material(programme, notes, lambda candidate: _written(store, pack, candidate))


def digest(store: Store, pack: Pack, day: date) -> Digest:
    """The digest of an hour for the shop's site."""
    programme, notes = store.programmes.get(day), store.programmes.said(day)
    book = Phrasebook(pack)
    title = book.say("hour_digest_title", segment=_segment(pack), day=told_day(day))
    intro = book.say("hour_digest_intro")
    return digest_of(programme, notes, lambda candidate: _written(store, pack, candidate), title, intro)


def _written(store: Store, pack: Pack, candidate: Candidate) -> Written:
    thread = store.thread(candidate.thread)
    draft = thread.drafts[-1].draft if thread.drafts else Draft("")
    return written(draft, candidate, known_particulars(thread, pack))


def figures(store: Store, pack: Pack, today: date) -> tuple[BarChart, ...]:
    """The charts of the weeks so far."""
    asked = [one for thread in store.each_thread() if (one := _asked(thread, pack))]
    hours = [Aired(programme, store.programmes.said(programme.day)) for programme in store.programmes.weeks()]
    return charts(asked, hours, today)


def _asked(thread: Thread, pack: Pack) -> Asked | None:
    """A thread for the figures; None for other post and what was set aside."""
    if not thread.readings or thread.state is ThreadState.SET_ASIDE:
        return None
    return Asked(
        thread.id,
        thread.opened_at.date(),
        matter_of(thread.id, thread.readings[0].reading, pack).system,
        thread.waiting_since.date() if thread.state in OURS else None,
        thread.state is ThreadState.SETTLED,
    )


def told_day(day: date) -> str:
    """A day in words: "26 November 2026"."""
    return f"{day.day} {day:%B %Y}"


def _segment(pack: Pack) -> str:
    return pack.shop.segment or pack.shop.name


def _draft(store: Store, pack: Pack, book: Phrasebook, programme: Programme, note: Said) -> Drafted:
    thread = store.thread(note.thread)
    if thread.state not in WAITS:
        return Drafted(thread.id, note.how, why_not=f"it is {thread.state.label}")
    phrase = partial(book.say, segment=_segment(pack), day=told_day(note.day))
    latest = _latest(thread, pack, book)
    if _tells_of(latest, note):
        return Drafted(thread.id, note.how, why_not="its draft tells of this hour already")
    candidate = next(one for one, other in noted(programme, (note,)) if other is note)
    made = reply_draft(latest, candidate, note, phrase)
    version = store.together.save_draft(thread.id, made, base=len(thread.drafts), by=note.by or "triage")
    return Drafted(thread.id, note.how, version)


def _latest(thread: Thread, pack: Pack, book: Phrasebook) -> Draft:
    if thread.drafts:
        return thread.drafts[-1].draft
    return draft_of([saved.reading for saved in thread.readings], thread.questions, pack, book)


def _tells_of(draft: Draft, note: Said) -> bool:
    """True when the draft was made after this hour, and with the same words of the host."""
    wording = {Spoken.SAID: "said", Spoken.CHANGED: "changed", Spoken.ASKED_BACK: "asked"}[note.how]
    told = [one for one in draft.sentences if one.source == f"wording:hour_after_{wording}"]
    own = " ".join(one.text for one in draft.sentences if one.source == f"air:{note.day.isoformat()}")
    same_day = any(told_day(note.day) in one.text for one in told)
    return same_day and " ".join(own.split()) == " ".join(note.note.split())

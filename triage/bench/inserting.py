"""Putting something into a reply: a check, a question, a safety note, the outcome of a worksheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from triage.model import Draft, HazardNote, Reading, Sentence, Signal
from triage.pack import Pack
from triage.reply.readability import reading_ease
from triage.reply.sentences import sentences
from triage.store import Store

_CLOSING = ("wording:rules", "wording:closing", "wording:sign_off", "wording:chat_closing", "wording:chat_sign_off")
_BODY = ("answer:", "check:", "gap:", "reworded:answer:", "reworded:check:", "reworded:gap:", "wording:ask_intro")


def put_into_reply(store: Store, thread_number: int, text: str, *, source: str, by: str) -> int:
    """Add a paragraph to the latest draft of a thread, before its closing lines; the new draft's version."""
    thread = store.thread(thread_number)
    draft = thread.drafts[-1].draft if thread.drafts else Draft(f"Re: {thread.subject or 'your question'}")
    return store.together.save_draft(thread_number, with_paragraph(draft, text, source), base=len(thread.drafts), by=by)


def with_paragraph(draft: Draft, text: str, source: str) -> Draft:
    """The draft with a paragraph more, before its closing lines."""
    return _with(draft, [Sentence(words, source) for words in sentences(text)], _before_closing(draft))


def with_check(draft: Draft, check: str, pack: Pack) -> Draft:
    """With a check as a line of its own, and the safety notes of its hazards that are not there yet.

    Raises KeyError for a check the pack does not have.
    """
    text = pack.checks[check].text
    lines = [Sentence(f"- {text}", f"check:{check}", 0, True)]
    draft = _with(draft, lines, _after_last(draft, "check:"))
    for hazard in pack.checks[check].hazards:
        draft = with_note(draft, hazard, pack)
    return draft


def with_question(draft: Draft, fact: str, readings: Sequence[Reading], pack: Pack) -> Draft:
    """With the question that asks for a fact. Raises KeyError for a fact nobody asks for."""
    gap = next((gap for reading in readings for gap in reading.gaps if gap.fact == fact), None)
    ask = gap.ask if gap else pack.facts[fact].ask
    how = gap.find_out if gap else pack.facts[fact].find_out
    if not ask:
        raise KeyError(fact)
    text = f"- {ask}" + (f" ({how.rstrip('.')}.)" if how else "")
    return _with(draft, [Sentence(text, f"gap:{fact}", 0, True)], _after_last(draft, "gap:"))


def with_settling(draft: Draft, conflict: str, readings: Sequence[Reading]) -> Draft:
    """With the question that would settle what does not fit together. Raises KeyError for one that nobody asks."""
    asks = {one.id: one.ask for reading in readings for one in reading.conflicts if one.ask}
    line = Sentence(f"- {asks[conflict]}", f"conflict:{conflict}", 0, True)
    return _with(draft, [line], _after_last(draft, "gap:"))


def with_note(draft: Draft, hazard: str, pack: Pack, notes: Sequence[HazardNote] = ()) -> Draft:
    """With a hazard's safety note, after those there are, else after the opening. Raises KeyError."""
    if any(s.source.removeprefix("reworded:") == f"hazard:{hazard}" for s in draft.sentences):
        return draft
    known = pack.hazards[hazard]
    told = next((note for note in notes if note.hazard == hazard), None)
    signal = told.signal if told else max(known.signal, Signal.WARNING, key=lambda word: word.rank)
    line = Sentence(f"{signal.value}: {told.note if told else known.note}", f"hazard:{hazard}", 0, True)
    return _with(draft, [line], _after_last(draft, "hazard:", otherwise=_before_body(draft)))


def _after_last(draft: Draft, kind: str, otherwise: int | None = None) -> int:
    places = [n for n, s in enumerate(draft.sentences, start=1) if s.source.removeprefix("reworded:").startswith(kind)]
    return places[-1] if places else _before_closing(draft) if otherwise is None else otherwise


def _before_closing(draft: Draft) -> int:
    """Before the rules and courtesies that end it; at the end where there are none."""
    last = len(draft.sentences)
    while last and draft.sentences[last - 1].source.startswith(_CLOSING):
        last -= 1
    return last


def _before_body(draft: Draft) -> int:
    places = (n for n, s in enumerate(draft.sentences) if s.source.startswith(_BODY))
    return next(places, _before_closing(draft))


def _with(draft: Draft, added: Sequence[Sentence], at: int) -> Draft:
    """The sentences at their place; a bullet goes on with bullets of its kind, all else gets a paragraph."""
    before, after = draft.sentences[:at], draft.sentences[at:]
    goes_on = bool(before and added[0].bullet and before[-1].bullet and _kind(before[-1]) == _kind(added[0]))
    first = before[-1].paragraph + (not goes_on) if before else 0
    tear = first + 1 - after[0].paragraph if after else 0
    placed = [replace(sentence, paragraph=first) for sentence in added]
    moved = [replace(s, paragraph=s.paragraph + max(0, tear)) for s in after]
    whole = replace(draft, sentences=(*before, *placed, *moved))
    return replace(whole, reading_ease=reading_ease(whole.body))


def _kind(sentence: Sentence) -> str:
    return sentence.source.removeprefix("reworded:").partition(":")[0]

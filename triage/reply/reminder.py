"""A gentle reminder of what was asked and not answered: the shop's wording and the questions, nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from triage.model import Draft, Sentence
from triage.reply.compose import first_name, in_order, reply_subject
from triage.reply.readability import reading_ease
from triage.reply.voice import Voice
from triage.reply.wording import Phrasebook

KEYS = ("reminder", "reminder_many", "reminder_plain")


def remind(subject: str, asker: str, asked: Sequence[Sentence], days: int, book: Phrasebook, *, last: bool) -> Draft:
    """The reminder for an asker of that display name: `asked` are the questions as they were put, in order.

    `last` adds that the question will be closed after `days` days without a reply.
    """
    voice, name = Voice(book, "mail", f"{subject}{asker}"), first_name(asker)
    key = KEYS[2] if not asked else KEYS[1] if len(asked) > 1 else KEYS[0]
    parts = [
        voice.said("greeting_named" if name else "greeting_plain", name=name),
        voice.said(key),
        _listed(asked),
        voice.said("reminder_last", days=days) if last else (),
        [Sentence(voice.say("sign_off"), "wording:sign_off")],
    ]
    finished = tuple(replace(sentence, text=voice.finished(sentence.text)) for sentence in in_order(parts))
    draft = Draft(reply_subject(subject), finished)
    return replace(draft, reading_ease=reading_ease(draft.body))


def _listed(asked: Sequence[Sentence]) -> Iterator[Sentence]:
    for sentence in asked:
        text = sentence.text.removeprefix("- ")
        yield replace(sentence, text=f"- {text}", paragraph=0, bullet=True)


def is_reminder(draft: Draft) -> bool:
    """True for a draft that `remind` made."""
    return any(sentence.source.removeprefix("wording:") in KEYS for sentence in draft.sentences)

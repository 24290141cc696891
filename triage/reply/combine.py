"""Several questions of one message get one reply: one greeting, dangers first, a part each, one sign-off."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from triage.model import Draft, Sentence
from triage.reply.asking import MOST_ASKS
from triage.reply.compose import in_order
from triage.reply.readability import reading_ease
from triage.reply.voice import Style, Voice
from triage.reply.wording import Phrasebook

_GREETING = ("wording:greeting",)
_UNDERSTOOD = ("wording:understood", "wording:inferred", "wording:thanks")
_DANGER = ("wording:stop_using", "wording:emergency", "wording:person_first")
_NOTES = ("wording:safety_intro", "hazard:")
_ASK_INTRO = ("wording:ask_intro",)
_ASKS = ("gap:", "conflict:")
_CLOSING = ("wording:rules", "wording:closing")
_SIGN_OFF = ("wording:sign_off",)
_STYLED = re.compile(r"^wording:(?:chat|aloud)_")
_LEAD_IN = re.compile(r"^(?:\s*(?:\d+[.)]|also|and|secondly|second question)[\s,:]+)+", re.IGNORECASE)


def combine(drafts: Sequence[tuple[str, Draft]], book: Phrasebook, style: Style = "mail") -> Draft:
    """One draft out of (topic, draft) pairs, all in one style; what one part says already, a later one does not."""
    if len(drafts) == 1:
        return drafts[0][1]
    replies = [draft for _, draft in drafts]
    first = replies[0]
    voice = Voice(book, style, first.subject)
    parts = [
        _only(first.sentences, _GREETING),
        _only(first.sentences, _UNDERSTOOD),
        _merged(replies, _DANGER),
        _merged(replies, _NOTES),
        *(_part(number, topic, draft, voice) for number, (topic, draft) in enumerate(drafts)),
        _asking([sentence for draft in replies for sentence in draft.sentences], voice),
        _merged(replies, _CLOSING),
        _only(first.sentences, _SIGN_OFF),
    ]
    whole = Draft(first.subject, tuple(in_order(parts)))
    return replace(whole, reading_ease=reading_ease(whole.body))


def _only(sentences: Sequence[Sentence], sources: tuple[str, ...]) -> list[Sentence]:
    return [replace(sentence, paragraph=0) for sentence in sentences if _comes_from(sentence, sources)]


def _comes_from(sentence: Sentence, sources: tuple[str, ...]) -> bool:
    """A phrase of one style counts as that of a mail."""
    return _STYLED.sub("wording:", sentence.source).startswith(sources)


def _merged(drafts: Sequence[Draft], sources: tuple[str, ...]) -> Iterator[Sentence]:
    """What one draft says of a source, later ones do not say again, be it in other words or in short."""
    said: set[str] = set()
    for draft in drafts:
        own = _only(draft.sentences, sources)
        yield from (sentence for sentence in own if sentence.source not in said)
        said |= {sentence.source for sentence in own}


def _part(number: int, topic: str, draft: Draft, voice: Voice) -> Iterator[Sentence]:
    elsewhere = (*_GREETING, *_DANGER, *_NOTES, *_ASK_INTRO, *_CLOSING, *_SIGN_OFF, *_UNDERSTOOD)
    if number:
        yield from voice.said("second_question_intro", paragraph=-1, topic=_LEAD_IN.sub("", topic))
    for sentence in draft.sentences:
        asks = _comes_from(sentence, _ASKS) and _is_ask(sentence, draft)
        if not asks and not _comes_from(sentence, elsewhere):
            yield sentence


def _is_ask(sentence: Sentence, draft: Draft) -> bool:
    """A conflict is told among what was understood, and asked about in the list: only the list is an ask."""
    listed = {other.paragraph for other in draft.sentences if other.source.startswith(_ASKS) and other.bullet}
    return sentence.paragraph in listed


def _asking(sentences: Sequence[Sentence], voice: Voice) -> Iterator[Sentence]:
    """The questions of all parts together, three at most, each once."""
    asks = _gathered(sentences)
    kept = list(dict.fromkeys(asks))[:MOST_ASKS]
    if kept:
        yield from voice.said("ask_intro", count=len(kept))
    for lines in kept:
        yield from lines


def _gathered(sentences: Sequence[Sentence]) -> Iterator[tuple[Sentence, ...]]:
    """Each question with the sentences that belong to it."""
    group: list[Sentence] = []
    for sentence in sentences:
        starts = sentence.bullet and sentence.source.startswith(_ASKS)
        follows = group and not sentence.bullet and sentence.source == group[0].source
        if group and not follows:
            yield tuple(group)
            group = []
        if starts or follows:
            group.append(replace(sentence, paragraph=0))
    if group:
        yield tuple(group)

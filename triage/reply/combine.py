"""Several questions of one message get one reply: one greeting, a part each, one sign-off."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from triage.model import Draft, Sentence
from triage.reply.readability import reading_ease
from triage.reply.wording import Phrasebook

_ONCE_AT_THE_TOP = frozenset({"wording:greeting_named", "wording:greeting_plain"})
_ONCE_AT_THE_END = ("wording:sign_off", "wording:closing", "wording:manual_rules", "wording:local_rules")


def combine(drafts: Sequence[tuple[str, Draft]], book: Phrasebook) -> Draft:
    """One draft out of (topic, draft) pairs; a safety note or question already put is not put again."""
    if len(drafts) == 1:
        return drafts[0][1]
    parts = [list(_part(number, topic, draft, len(drafts), book)) for number, (topic, draft) in enumerate(drafts)]
    sentences = tuple(_renumbered(parts))
    whole = Draft(drafts[0][1].subject, sentences)
    return Draft(whole.subject, sentences, reading_ease(whole.body))


def _part(number: int, topic: str, draft: Draft, count: int, book: Phrasebook) -> Iterator[Sentence]:
    if number:
        text = book.say("second_question_intro", topic, topic=topic)
        yield Sentence(text, "wording:second_question_intro", -1)
    for sentence in draft.sentences:
        top = sentence.source in _ONCE_AT_THE_TOP and number > 0
        end = sentence.source.startswith(_ONCE_AT_THE_END) and number < count - 1
        if not (top or end):
            yield sentence


def _renumbered(parts: Sequence[Sequence[Sentence]]) -> Iterator[Sentence]:
    said: set[str] = set()
    paragraph = 0
    for part in parts:
        before = None
        for sentence in part:
            if before is not None and sentence.paragraph != before:
                paragraph += 1
            before = sentence.paragraph
            repeated = sentence.source.startswith(("hazard:", "gap:")) and sentence.text in said
            said.add(sentence.text)
            if not repeated:
                yield Sentence(sentence.text, sentence.source, paragraph, sentence.bullet)
        paragraph += 1

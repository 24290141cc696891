"""The draft made anew: with another answer, in another style, spelling or length. Pure; no model is run."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from triage.desk import current_questions, draft_of
from triage.facts import holding
from triage.model import Decision, Draft, Match, Reading
from triage.pack import Pack
from triage.pipeline import Stages, drafted
from triage.reply import Style
from triage.reply.readability import reading_ease
from triage.reply.wording import Phrasebook
from triage.safety import Proposed
from triage.store import Thread

Spelling = Literal["british", "american"]
Length = Literal["full", "short"]

# What a short reply leaves out: courtesies and what was understood. Dangers and rules stay.
_LEFT_OUT = tuple(
    f"wording:{key}"
    for key in ("understood", "inferred", "thanks", "closing", "chat_understood", "aloud_understood", "answer_likely")
)


@dataclass(frozen=True, slots=True)
class Manner:
    """How a reply is to be worded."""

    style: Style = "mail"
    spelling: Spelling = "british"
    length: Length = "full"


def redraft(thread: Thread, stages: Stages, manner: Manner, answers: Mapping[int, str] | None = None) -> Draft:
    """The reply to a thread's present readings; `answers` names by the place of a reading (0, 1...) the answer that a
    person chose for it, in place of its likeliest.

    Raises KeyError for an answer the base does not have.
    """
    questions = {question.id: question for question in thread.questions}
    pack = replace(stages.pack, shop=replace(stages.pack.shop, spelling=manner.spelling))
    book, chosen = Phrasebook(pack), answers or {}
    readings = [
        with_answer(reading, chosen[n], stages) if n in chosen else reading
        for n, reading in enumerate(present_readings(thread))
    ]
    styled = [replace(r, draft=drafted(questions[r.id], r, pack, book, stages.facts, manner.style)) for r in readings]
    draft = draft_of(styled, current_questions(thread), pack, book, manner.style)
    return shortened(draft) if manner.length == "short" else draft


def present_readings(thread: Thread) -> list[Reading]:
    """The readings of the thread's present questions."""
    asked = {question.id for question in thread.questions}
    return [saved.reading for saved in thread.readings if saved.reading.id in asked]


def built_on(thread: Thread, draft: Draft) -> dict[int, str]:
    """Which answer a draft gives to which reading: each to the reading it fits best."""
    readings = present_readings(thread)
    given: dict[int, str] = {}
    for answer in answers_in(draft):
        fits = [next((m.probability for m in r.matches if m.answer == answer), 0.0) for r in readings]
        if fits:
            given.setdefault(fits.index(max(fits)), answer)
    return given


def with_answer(reading: Reading, answer: str, stages: Stages) -> Reading:
    """The reading as if this answer were sure: a person says so. The hazards of its steps come with it."""
    chosen = next((one for one in stages.pack.answers if one.id == answer), None)
    if chosen is None:
        raise KeyError(f"There is no answer '{answer}'.")
    match = next((m for m in reading.matches if m.answer == answer), Match(answer, 0.0))
    others = tuple(m for m in reading.matches if m.answer != answer)
    held = holding(reading.facts).facts
    told = [note for note in reading.hazards if note.span or note.urgent or note.message]
    proposed = Proposed(dict.fromkeys(chosen.hazards, f"answer {answer}"))
    powertrain = str(held["powertrain"].value) if "powertrain" in held else ""
    return replace(
        reading,
        matches=(replace(match, probability=1.0), *others),
        decision=Decision.ASK if reading.decision is Decision.ASK else Decision.ANSWER,
        hazards=stages.hazards.beside(told, proposed, powertrain),
    )


def shortened(draft: Draft) -> Draft:
    """Without courtesies; every danger, note, step, question and rule stays."""
    kept = tuple(s for s in draft.sentences if not s.source.startswith(_LEFT_OUT))
    short = replace(draft, sentences=kept)
    return replace(short, reading_ease=reading_ease(short.body))


def answers_in(draft: Draft) -> tuple[str, ...]:
    """The answers a draft is built on."""
    named = (s.source.removeprefix("reworded:") for s in draft.sentences)
    return tuple(dict.fromkeys(name.removeprefix("answer:") for name in named if name.startswith("answer:")))


def manner_of(draft: Draft, pack: Pack) -> Manner:
    """The style a draft was made in, as far as its wording tells; spelling as the shop spells."""
    sources = [sentence.source for sentence in draft.sentences]
    for style in ("chat", "aloud"):
        if any(source.startswith(f"wording:{style}_") for source in sources):
            return Manner(style, pack.shop.spelling)
    return Manner("mail", pack.shop.spelling)

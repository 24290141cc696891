"""Everything a question's page shows, put together from the thread, its readings and the pack."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from triage.bench.redraft import Manner, answers_in, manner_of
from triage.bench.views.advice import Advice, advice, other_answers
from triage.bench.views.beside import CHOOSE
from triage.bench.views.known import KnownGroup, known_facts
from triage.bench.views.letter import Block, bare, blocks_of, where_from
from triage.bench.views.past import Earlier, Entry, Said, conversation, earlier_contact, history
from triage.bench.views.wording import STATE, day_and_time, label, signer, waiting
from triage.bench.views.words import Paragraph, marked
from triage.desk import READER, answered_message, current_questions, topic
from triage.model import Draft, Message, Reading
from triage.pack import Pack
from triage.store import MOVES, Claim, DraftVersion, HistoryEntry, Prior, Thread, ThreadState

_LEAD_IN = re.compile(r"^\d+[.)]\s*")  # the asker's own number of a question: the page gives its own


@dataclass(frozen=True, slots=True)
class Field:
    """A block of the letter as it is edited."""

    source: str
    text: str
    rows: int
    opens: bool
    bullet: bool
    from_words: str
    hazard: str
    reworded: bool
    choose: bool  # two people changed it: one text is to be kept


@dataclass(frozen=True, slots=True)
class Version:
    """A saved draft in the list of versions."""

    number: int
    head: str


@dataclass(frozen=True, slots=True)
class Letter:
    """The reply as it stands."""

    version: int  # 0: no draft yet
    subject: str
    fields: tuple[Field, ...]
    plain: str
    by: str
    ease: str
    manner: Manner
    answers: tuple[str, ...]
    versions: tuple[Version, ...]
    set_by: int  # the newest version a person wrote, where the program wrote a newer one; 0 for none


@dataclass(frozen=True, slots=True)
class Page:
    """One question, whole."""

    thread: int
    who: str
    mail: str
    subject: str
    channel: str
    sent: str
    stands: str
    waits: str
    vehicle: str
    wrong: str
    taken_by: str  # another person who is at it; "" for none
    words: tuple[Paragraph, ...]
    apart: Said | None
    known: tuple[KnownGroup, ...]
    advice: tuple[Advice, ...]
    other_answers: tuple[tuple[str, str], ...]
    letter: Letter
    conversation: tuple[Said, ...]
    earlier: tuple[Earlier, ...]
    history: tuple[Entry, ...]
    replies: int
    outcome: str
    moves: frozenset[str]
    open: bool  # a reply can be made
    following: int  # the next thread in line; 0 for none


def question_page(
    thread: Thread,
    pack: Pack,
    now: datetime,
    *,
    prior: Sequence[Prior] = (),
    entries: Sequence[HistoryEntry] = (),
    claim: Claim | None = None,
    person: str = "",
    following: int = 0,
    draft: Draft | None = None,
) -> Page:
    """The page; `draft` is shown in place of the latest, where it was not kept yet."""
    message = answered_message(thread)
    readings = [saved.reading for saved in thread.readings]
    shown = draft or (thread.drafts[-1].draft if thread.drafts else Draft(""))
    said = conversation(thread)
    return Page(
        thread.id,
        thread.asker.name or thread.asker.email or "no name given",
        thread.asker.email,
        thread.subject,
        message.channel,
        day_and_time(message.sent),
        STATE[thread.state],
        waiting(now, thread.waiting_since),
        thread.summary.vehicle or "vehicle not told",
        thread.summary.wrong,
        claim.person if claim and claim.person != person else "",
        _words(thread, message, readings, pack),
        next((one for one in said if one.text == message.text and not one.ours), None),
        known_facts(readings, pack),
        _advice(thread, readings, shown, pack),
        other_answers(readings, pack),
        letter(shown, thread.drafts, pack),
        said,
        earlier_contact(prior, pack),
        history(entries),
        len(thread.replies),
        thread.outcome,
        frozenset(state.value for state in MOVES[thread.state]),
        thread.state is ThreadState.READY or ThreadState.READY in MOVES[thread.state],
        following,
    )


def _words(thread: Thread, message: Message, readings: Sequence[Reading], pack: Pack) -> tuple[Paragraph, ...]:
    """The message the present questions stand in, each reading at its question's place."""
    questions = {question.id: question for question in current_questions(thread)}
    texts = {one.id: one.text for one in thread.messages}
    present = [(r, questions[r.id]) for r in readings if r.id in questions]
    text = texts.get(present[0][1].message, message.text) if present else message.text
    fitting = [(r, q.offset) for r, q in present if text[q.offset : q.offset + len(q.text)] == q.text]
    return marked(text, _own_only(fitting), pack)


def _own_only(readings: Sequence[tuple[Reading, int]]) -> list[tuple[Reading, int]]:
    """Without what a later question only took over from the one before: its place is in the other's words."""
    seen: set[object] = set()
    own = []
    for reading, offset in readings:
        facts = tuple(fact for fact in reading.facts if (fact.name, fact.value, fact.span) not in seen)
        seen |= {(fact.name, fact.value, fact.span) for fact in facts}
        own.append((replace(reading, facts=facts), offset))
    return own


def _advice(thread: Thread, readings: Sequence[Reading], draft: Draft, pack: Pack) -> tuple[Advice, ...]:
    plain = frozenset(bare(s.source) for s in draft.sentences)
    sources = plain | {f"asked:{bare(s.source)}" for s in draft.sentences if s.bullet}
    texts = {question.id: question.text for question in thread.questions}
    return tuple(advice(r, _LEAD_IN.sub("", topic(texts.get(r.id, ""), r, pack)), pack, sources) for r in readings)


def letter(draft: Draft, drafts: Sequence[DraftVersion], pack: Pack) -> Letter:
    """The reply as fields, with its versions."""
    latest = drafts[-1] if drafts else None
    return Letter(
        latest.version if latest else 0,
        draft.subject,
        tuple(_field(block, pack) for block in blocks_of(draft)),
        draft.body,
        signer(latest.by) if latest else "",
        f"{draft.reading_ease:.0f}" if draft.reading_ease is not None else "",
        manner_of(draft, pack),
        answers_in(draft),
        tuple(
            Version(d.version, f"version {d.version}, {signer(d.by)}, {day_and_time(d.at)}") for d in reversed(drafts)
        ),
        _overwritten(drafts),
    )


def _overwritten(drafts: Sequence[DraftVersion]) -> int:
    if not drafts or drafts[-1].by != READER:
        return 0
    return next((d.version for d in reversed(drafts) if d.by != READER), 0)


def _field(block: Block, pack: Pack) -> Field:
    choose = block.source.startswith(CHOOSE)
    source = block.source.removeprefix(CHOOSE)
    return Field(
        source,
        block.text,
        block.rows,
        block.opens,
        block.sentences[0].bullet,
        where_from(source, pack),
        block.hazard,
        source.startswith(("reworded:", "written:")),
        choose,
    )


def hazard_names(hazards: Sequence[str], pack: Pack) -> Mapping[str, str]:
    """The pack's words for hazards, by id."""
    return {hazard: label(pack.hazards, hazard) for hazard in hazards}

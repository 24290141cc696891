"""The desk, where mail, pipeline and store meet: take in, read a thread, draft its reply."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from triage.asked_back import heard_in
from triage.facts import FactReader, holding
from triage.intake import base_subject, split_questions
from triage.model import Draft, Fact, Message, Question, Reading, Rejected, Standing
from triage.pack import Pack
from triage.pipeline import UNREAD_TAIL, Stages, drafted, read, readable
from triage.reply import Style
from triage.reply.combine import combine
from triage.reply.reminder import is_reminder
from triage.reply.summary import problem_line, vehicle_line
from triage.reply.wording import Phrasebook
from triage.store import Arrival, Prior, Store, Summary, TakenIn, Thread, ThreadState
from triage.told_before import before

OURS = (ThreadState.NEW, ThreadState.READY)
READER = "triage"  # signs what the program did by itself
HANDFUL = 100  # mails written to the store in one go
HANDFUL_BYTES = 16 << 20
_CARRIED = frozenset({"symptom", "work_done", "modification", "measurement", "use"})

Prepared = tuple[Message | Rejected, Sequence[Question]]


@dataclass(frozen=True, slots=True)
class Tally:
    """What became of a batch taken in."""

    new: int = 0
    duplicate: int = 0
    automatic: int = 0
    rejected: int = 0
    threads: tuple[int, ...] = ()  # threads with something new for a person

    @property
    def total(self) -> int:
        """Everything that arrived."""
        return self.new + self.duplicate + self.automatic + self.rejected

    def __add__(self, more: Tally) -> Tally:
        """Both batches together."""
        return Tally(
            self.new + more.new,
            self.duplicate + more.duplicate,
            self.automatic + more.automatic,
            self.rejected + more.rejected,
            tuple(dict.fromkeys((*self.threads, *more.threads))),
        )


def take_in(arrived: Iterable[Message | Rejected], store: Store, pack: Pack, *, by: str = READER) -> Tally:
    """Keep everything that arrived, once each; broken ones are set aside and the rest goes on.

    The store is locked only to write what has been read from the source, so that others get their turn.
    """
    tally = Tally()
    for handful in _handfuls(prepared(item, pack) for item in arrived):
        with store.batch(len(handful)):
            tally += keep(handful, store, by)
    return tally


def keep(handful: Iterable[Prepared], store: Store, by: str) -> Tally:
    """Write what was prepared, each a change of its own; called inside `Store.batch`."""
    counts: Counter[Arrival] = Counter()
    threads: dict[int, None] = {}
    for item, questions in handful:
        taken = _take_one(item, questions, store, by)
        counts[taken.arrival] += 1
        if taken.arrival is Arrival.NEW and taken.thread is not None:
            threads[taken.thread] = None
    return Tally(
        counts[Arrival.NEW],
        counts[Arrival.DUPLICATE],
        counts[Arrival.AUTOMATIC],
        counts[Arrival.REJECTED],
        tuple(threads),
    )


def _handfuls(items: Iterable[Prepared]) -> Iterator[list[Prepared]]:
    """The items in lists small enough to hold; what was read before an error or a Ctrl-C comes before it."""
    handful: list[Prepared] = []
    try:
        for item in items:
            handful.append(item)
            if len(handful) >= HANDFUL or sum(len(arrived.raw) for arrived, _ in handful) > HANDFUL_BYTES:
                yield handful
                handful = []
    except (Exception, KeyboardInterrupt):
        if handful:
            yield handful
        raise
    if handful:
        yield handful


def prepared(item: Message | Rejected, pack: Pack) -> Prepared:
    """What arrived with its questions; the shop's own mail and what is too long to read are marked."""
    if isinstance(item, Rejected):
        return item, ()
    message = replace(item, automatic="from the shop itself") if is_from_shop(item, pack) else item
    text = readable(message.text)
    if len(text) < len(message.text):
        message = replace(message, notes=(*message.notes, UNREAD_TAIL))
    return message, () if message.automatic else split_questions(replace(message, text=text))


def _take_one(item: Message | Rejected, questions: Sequence[Question], store: Store, by: str) -> TakenIn:
    if isinstance(item, Rejected):
        return store.take_in(item, by=by)
    return store.take_in(item, by=by, subject_key=base_subject(item.subject), questions=questions)


def is_from_shop(message: Message, pack: Pack) -> bool:
    """True for the shop's own mail (a copy to itself)."""
    email = message.sender.email
    domains = {pack.shop.mail.rpartition("@")[2].lower(), *(domain.lower() for domain in pack.shop.domains)}
    return email == pack.shop.mail.lower() or email.rpartition("@")[2] in domains


def read_open(store: Store, stages: Stages, *, every: bool = False) -> Iterator[int]:
    """Read each thread that is ours to answer and was not read since its last message, or not with this pack.

    Yields its number. A thread that waits for its asker is left alone: a new draft would call it ready again.
    """
    for thread in store.each_thread(OURS):
        if (every or _needs_reading(thread, stages.pack)) and read_thread(thread, store, stages):
            yield thread.id


def _needs_reading(thread: Thread, pack: Pack) -> bool:
    wanted = {question.id for question in current_questions(thread)}
    present = {saved.reading.id for saved in thread.readings}
    if present == wanted and thread.drafts and is_reminder(thread.drafts[-1].draft):
        return False  # nothing new was told: another draft would take the reminder's place
    return present != wanted or any(saved.pack_digest != pack.digest for saved in thread.readings)


def read_thread(thread: Thread, store: Store, stages: Stages) -> tuple[Reading, ...]:
    """Read a thread's present questions together with what is already known, and keep readings and draft.

    Nothing is kept, and the result is empty, when there is no question, or when somebody changed the thread meanwhile.
    """
    readings = tuple(readings_of(thread, stages, store.prior(thread.id)))
    if not readings:
        return ()
    summary = summarise(thread, readings, stages.pack)
    draft = draft_of(readings, current_questions(thread), stages.pack, stages.book)
    with store.batch():
        _take_turn(store)
        if _moved_on(thread, store.thread(thread.id)):
            return ()
        store.save_reading(thread.id, *readings, pack_digest=stages.pack.digest, by=READER, summary=summary)
        store.save_draft(thread.id, draft, by=READER)
    return readings


def _take_turn(store: Store) -> None:
    """Let nobody else write until the batch ends: to write a setting the value it has takes the lock only."""
    store.set_setting("reader", store.setting("reader"), by=READER)


def _moved_on(before: Thread, now: Thread) -> bool:
    """True when a message, a reply, a draft or a fact came in between: a reading made before it would be stale."""
    return (before.state, before.messages, before.facts, before.drafts, before.replies) != (
        now.state, now.messages, now.facts, now.drafts, now.replies,
    )  # fmt: skip


def current_questions(thread: Thread) -> tuple[Question, ...]:
    """The questions of the asker's latest message that asks or tells something."""
    asked = {question.message for question in thread.questions}
    for message in reversed(thread.messages):
        if message.id in asked:
            return tuple(question for question in thread.questions if question.message == message.id)
    return ()


def readings_of(thread: Thread, stages: Stages, prior: Sequence[Prior] = ()) -> Iterator[Reading]:
    """A reading per present question.

    Facts of earlier messages, of the asker's earlier threads (`prior`) and those set by a person count as known;
    a danger told in a message that was not answered yet is told still.
    """
    present = current_questions(thread)
    if not present:
        return
    so_far = before(thread, present, prior, stages)
    known, cut, cannot_tell = so_far.facts, _was_cut(thread, present[0]), so_far.cannot_tell
    for question in present:
        heard = heard_in(question, thread, known, stages.facts, stages.pack.facts)
        cannot_tell |= heard.cannot_tell
        asking = replace(question, context=so_far.context)
        reading = read(asking, stages, (*heard.facts, *known), earlier=so_far.dangers, not_again=cannot_tell)
        yield replace(reading, reasons=(*reading.reasons, UNREAD_TAIL)) if cut else reading
        known = _carry(reading, known)


def _was_cut(thread: Thread, question: Question) -> bool:
    texts = {message.id: message.text for message in thread.messages}
    return bool(readable(texts[question.message]) != texts[question.message])


def _carry(reading: Reading, known: tuple[Fact, ...]) -> tuple[Fact, ...]:
    """What the next question of the same message may take for known: the vehicle, not the complaint."""
    own = (
        f
        for f in reading.facts
        if f.name not in _CARRIED and f.name != "intent" and f.standing is not Standing.INFERRED
    )
    return tuple(dict.fromkeys((*known, *own)))


def draft_of(
    readings: Sequence[Reading], questions: Sequence[Question], pack: Pack, book: Phrasebook, style: Style = "mail"
) -> Draft:
    """One reply for all questions of a message."""
    texts = {question.id: question.text for question in questions}
    pairs = [(topic(texts.get(reading.id, ""), reading, pack), reading.draft) for reading in readings]
    return combine(pairs, book, style)


def draft_in(style: Style, thread: Thread, pack: Pack) -> Draft:
    """The reply to a thread's present readings in a style, without reading them again."""
    questions = {question.id: question for question in thread.questions}
    book, reader = Phrasebook(pack), FactReader(pack)
    readings = [saved.reading for saved in thread.readings if saved.reading.id in questions]
    styled = [replace(r, draft=drafted(questions[r.id], r, pack, book, reader, style)) for r in readings]
    return draft_of(styled, thread.questions, pack, book, style)


def answered_message(thread: Thread) -> Message:
    """The asker's latest mail, which the reply answers."""
    return next((message for message in reversed(thread.messages) if not message.automatic), thread.messages[-1])


def asks_back(thread: Thread, words: str) -> bool:
    """True when what went out holds a question that the reading wanted to ask."""
    readings = [saved.reading for saved in thread.readings]
    wanted = [gap.ask for reading in readings for gap in reading.gaps]
    wanted += [conflict.ask for reading in readings for conflict in reading.conflicts if conflict.ask]
    said = " ".join(words.split())
    return any(" ".join(question.split()) in said for question in wanted)


def topic(text: str, reading: Reading, pack: Pack) -> str:
    """What a question is about, in a few words: its symptom, else its own opening words."""
    problem = problem_line(reading.facts, pack.symptoms)
    words = " ".join(text.split())
    return problem or (words if len(words) <= 60 else words[:57].rsplit(" ", 1)[0] + "...")


def summarise(thread: Thread, readings: Sequence[Reading], pack: Pack) -> Summary:
    """The queue's one line: which vehicle, what is wrong, what is missing."""
    questions = {question.id: question.text for question in thread.questions}
    facts = tuple(fact for reading in readings for fact in reading.facts)
    wrong = "; ".join(dict.fromkeys(topic(questions.get(reading.id, ""), reading, pack) for reading in readings))
    missing = tuple(dict.fromkeys(gap.fact for reading in readings for gap in reading.gaps))
    return Summary(vehicle_line(holding(facts).facts), wrong, missing)

"""The producer, where store, desk, pack and segment meet: plans a programme, keeps it, and says what was on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from triage.facts import FactReader, holding
from triage.language.aloud import spoken
from triage.model import Draft, Fact, Question, Reading
from triage.pack import Pack
from triage.particulars import known_particulars
from triage.past_hours import Past, past_before, reached_in
from triage.pipeline import drafted
from triage.reply import Style
from triage.reply.compose import first_name
from triage.reply.summary import cart, said, told_line
from triage.reply.wording import Phrasebook
from triage.segment.asked import Asked, Week
from triage.segment.candidates import TURN_SECONDS, candidates_of, script
from triage.segment.choosing import CannotPlan, Wishes, choose
from triage.segment.clock import clock_plan
from triage.segment.hour import assembled, frame_minutes
from triage.segment.programme import Candidate, Programme, Said, Spoken, Wish
from triage.segment.sheet import Sheet, sheet_of
from triage.segment.timing import Spell, count_words, rate_of, seconds
from triage.store import Store, Thread, ThreadState
from triage.unusable import Unusable

STATES = (
    ThreadState.NEW, ThreadState.READY, ThreadState.WAITING_FOR_ASKER, ThreadState.REPLIED, ThreadState.SETTLED,
)  # fmt: skip
OURS = frozenset({ThreadState.NEW, ThreadState.READY})
MINUTES = 30.0
LIVE_SHARE = 0.15  # of the time, kept for live questions
EVERY_DAYS = 7
MOST_SYMPTOMS = 2  # in one sentence

Choosing = Callable[[Sequence[Candidate], float, Wishes], Sequence[Candidate]]


def plan(
    store: Store,
    pack: Pack,
    day: date,
    *,
    by: str,
    minutes: float = MINUTES,
    reserve: float | None = None,
    choosing: Choosing = choose,
) -> Programme:
    """Choose and keep the programme of a day, with the locks and vetoes of that day. Raises Unusable, StoreError.

    `choosing` is there to hold other ways of choosing against the best one.
    """
    kept = reserve if reserve is not None else round(minutes * LIVE_SHARE, 1)
    past = past_before(store, day)
    week = week_of(store, pack, day, past)
    candidates = candidates_of(tuple(asked_of(store, pack, past, day)), week)
    room, wishes = minutes - kept - frame_minutes(week), _wishes(store, day)
    try:
        chosen = choosing(candidates, room, wishes)
    except CannotPlan as error:
        raise Unusable(str(error)) from error
    made = assembled(week, candidates, chosen, wishes, minutes=minutes, reserve=kept, room=room, tips=past.tips)
    store.programmes.keep(made, by=by)
    return store.programmes.get(day)


def _wishes(store: Store, day: date) -> Wishes:
    wishes = store.programmes.wishes(day)
    locked = frozenset(thread for thread, one in wishes.items() if one.wish is Wish.LOCK)
    return Wishes(locked, {thread: one.why for thread, one in wishes.items() if one.wish is Wish.VETO})


# What there is


def asked_of(store: Store, pack: Pack, past: Past, day: date) -> Iterator[Asked]:
    """Every thread with a reading that could hold a question for the hour, with its drafts in both styles."""
    agreed, words = store.programmes.agreed(), Words(pack, Phrasebook(pack), FactReader(pack))
    for thread in store.each_thread(STATES):
        if thread.readings and thread.questions:
            yield _asked(thread, words, past, day, thread.id in agreed)


@dataclass(frozen=True, slots=True)
class Words:
    """What words a reply; made once, as it takes its time."""

    pack: Pack
    book: Phrasebook
    reader: FactReader

    def drafted(self, question: Question, reading: Reading, style: Style) -> Draft:
        """The reply to a reading in a style."""
        return drafted(question, reading, self.pack, self.book, self.reader, style)


def _asked(thread: Thread, words: Words, past: Past, day: date, agreed: bool) -> Asked:
    reading, question = best_reading(thread)
    reading = fitting(reading, words.pack)
    facts = holding(reading.facts).facts
    cart_line = cart(said(reading.facts, facts), words.book)
    told = told_line(reading.facts, facts, words.pack.symptoms, words.book)
    nameless = replace(question, asker="")  # what is read out greets nobody by name
    return Asked(
        thread=thread.id,
        text=_as_asked(thread, question),
        latest=_latest(thread),
        reading=reading,
        asker=thread.asker.email or thread.asker.name.casefold(),
        name=first_name(thread.asker.name),
        people=known_particulars(thread, words.pack),
        agreed=agreed,
        cart=cart_line,
        trouble=told.removeprefix(cart_line).removeprefix("; "),
        aloud=words.drafted(nameless, reading, "aloud"),
        written=words.drafted(nameless, reading, "mail"),
        waiting_days=max(0, (day - thread.waiting_since.date()).days),
        waits=thread.state in OURS,
        postponed=thread.id in past.postponed,
        said_on=past.said_on.get(thread.id, ()),
    )


def fitting(reading: Reading, pack: Pack) -> Reading:
    """The reading as it is retold: without symptoms that its cart cannot have (a petrol cart has no range on a
    charge), with the first two of the rest, and without a make that is only a word."""
    drive = next((f.value for f in reading.facts if f.name == "powertrain" and f.standing.holds), None)
    able = {name for name, symptom in pack.symptoms.items() if not drive or symptom.powertrain in ("any", drive)}
    told = [f.value for f in reading.facts if f.name == "symptom" and f.value in able and f.standing.holds]
    kept = list(dict.fromkeys(told))[:MOST_SYMPTOMS]
    return replace(reading, facts=tuple(fact for fact in reading.facts if _retold(fact, kept, pack)))


def _retold(fact: Fact, symptoms: Sequence[object], pack: Pack) -> bool:
    if fact.name == "symptom":
        return fact.value in symptoms
    return fact.name != "make" or fact.value in pack.makes() or str(fact.value)[:1].isupper()


def best_reading(thread: Thread) -> tuple[Reading, Question]:
    """Of several questions in one message the one with the surest answer, the first of those alike."""
    questions = {question.id: question for question in thread.questions}
    readings = [saved.reading for saved in thread.readings if saved.reading.id in questions]
    best = max(readings, key=lambda reading: reading.matches[0].probability if reading.matches else 0.0)
    return best, questions[best.id]


def _as_asked(thread: Thread, question: Question) -> str:
    """The question; where it is a later message that only adds to the first, the first."""
    first = thread.questions[0]
    return question.text if question.message == first.message else first.text


def _latest(thread: Thread) -> str:
    return next((message.text for message in reversed(thread.messages) if not message.automatic), "")


def host_rate(store: Store, pack: Pack) -> float:
    """Words a minute of the host, learned from how long questions took in the programmes that were on air."""
    return rate_of(spell for programme in store.programmes.weeks() for spell in _spells(store, pack, programme))


def _spells(store: Store, pack: Pack, programme: Programme) -> Iterator[Spell]:
    took = {note.thread: note.seconds for note in store.programmes.said(programme.day) if note.how is Spoken.SAID}
    for slot in programme.slots if programme.aired else ():
        if seconds_taken := took.get(slot.candidate.thread, 0.0):
            words = count_words(script(slot.candidate, lambda text: spoken(text, pack.spoken)))
            yield Spell(words, seconds_taken - TURN_SECONDS)


def week_of(store: Store, pack: Pack, day: date, past: Past) -> Week:
    """What surrounds the programme of a day."""
    book, rate = Phrasebook(pack), host_rate(store, pack)
    return Week(
        day, pack, book.say, lambda text: spoken(text, pack.spoken), lambda text: seconds(text, rate), past.aired
    )


def sheet(store: Store, pack: Pack, day: date) -> Sheet:
    """The run sheet of a programme kept. Raises NotFound."""
    programme, segment = store.programmes.get(day), pack.shop.segment or pack.shop.name
    rows = clock_plan(programme, host_rate(store, pack))
    return sheet_of(programme, pack.shop.name, segment, lambda text: spoken(text, pack.spoken), rows)


# Which day, and its end


def next_day(store: Store, today: date) -> date:
    """The day meant when none is given: the programme still to come, else a week after the last one, else today."""
    weeks = store.programmes.weeks()
    coming = [programme.day for programme in weeks if not programme.aired]
    if coming:
        return coming[0]
    return max(today, weeks[-1].day + timedelta(days=EVERY_DAYS)) if weeks else today


def close(store: Store, day: date, *, by: str) -> Programme:
    """The hour is over: what was noted stays; what was not, was not reached. Without any note, all was said."""
    programme = store.programmes.get(day)
    reached = reached_in(programme, store.programmes.said(day))
    noted = {note.thread for note in store.programmes.said(day)}
    for slot in programme.slots:
        if slot.candidate.thread not in noted:
            how = Spoken.SAID if slot.candidate.thread in reached else Spoken.POSTPONED
            store.programmes.say(Said(day, slot.candidate.thread, how), by=by)
    store.programmes.close(day, by=by)
    return store.programmes.get(day)

"""What is known before a message is read: from its thread's earlier messages, and from the asker's earlier threads."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import takewhile

from triage.asked_back import heard_in
from triage.facts.corrections import SINGLE
from triage.model import Fact, FactValue, HazardNote, Question, Standing
from triage.pipeline import Stages, understand, with_message
from triage.store import Prior, Same, Thread

CONTEXT = 2_000  # characters of earlier messages that a later one is read with

# What is told of the moment or of one trouble, not of the vehicle: no later question is read with it.
_PASSING = frozenset(
    "symptom measurement work_done intent budget error_code solenoid_click engine_turns top_speed".split()
)
_AGES = frozenset({"battery_age"})
_AGES_HOLD = timedelta(days=180)
_NAMES = ("make", "model")
_IDENTITY = (*_NAMES, "year", "serial", "powertrain", "pack_voltage")
_SAID = frozenset({Standing.STATED, Standing.HEDGED, Standing.CORRECTED, Standing.DENIED})
_NOT_OWN = ("second_vehicle", "other", "other_near")  # cues that the talk is of another vehicle than before

Identity = Mapping[str, frozenset[FactValue]]


@dataclass(frozen=True, slots=True)
class Before:
    """What a message is read with."""

    facts: tuple[Fact, ...] = ()
    context: str = ""
    dangers: tuple[HazardNote, ...] = ()  # told in earlier messages that nobody has answered yet
    cannot_tell: frozenset[str] = frozenset()  # facts that were asked for, and that the asker cannot tell


def before(thread: Thread, present: Sequence[Question], prior: Sequence[Prior], stages: Stages) -> Before:
    """Facts, words and unanswered dangers of the messages before the present questions' own.

    Facts set by a person come on top; facts of the asker's earlier threads below.
    """
    earlier = list(takewhile(lambda question: question.message != present[0].message, thread.questions))
    known, dangers, cannot_tell = thread.facts, list[HazardNote](), frozenset[str]()
    for question in earlier:
        if not _answered(question, thread):
            dangers += _dangers(question, known, stages)
        heard = heard_in(question, thread, known, stages.facts, stages.pack.facts)
        known, cannot_tell = (*heard.facts, *known), cannot_tell | heard.cannot_tell
        known = with_message(stages.facts.read(stages.facts.language.annotate(question.text), known), question.message)
    context = "\n".join(question.text for question in earlier)[-CONTEXT:]
    return Before((*_from_threads(thread, present, prior, known, stages), *known), context, tuple(dangers), cannot_tell)


def _answered(question: Question, thread: Thread) -> bool:
    """True when a reply went out after it was written; a message without a date counts as open."""
    sent = next((message.sent for message in thread.messages if message.id == question.message), None)
    return sent is not None and any(reply.at >= sent for reply in thread.replies)


def _dangers(question: Question, known: Iterable[Fact], stages: Stages) -> Iterator[HazardNote]:
    read = understand(question, stages, known)
    for note in read.dangers:
        yield replace(note, message=note.message or question.message, basis=f"said earlier: {note.basis}")


def _from_threads(
    thread: Thread, present: Sequence[Question], prior: Sequence[Prior], known: tuple[Fact, ...], stages: Stages
) -> tuple[Fact, ...]:
    """Facts of the asker's earlier threads about the vehicles that this one is about."""
    vehicles = told_vehicles(prior)
    if not vehicles:
        return ()
    documents = [stages.facts.language.annotate(question.text) for question in present]
    now = [fact for document in documents for fact in stages.facts.read(document, known)]
    another = any(document.scopes.cues(kind) for document in documents for kind in _NOT_OWN)
    return tuple(carried(vehicles, (*known, *now), thread.opened_at, may_be_another=another))


@dataclass(frozen=True, slots=True)
class Told:
    """A vehicle as one thread tells of it; `facts` are those told there, not those carried to it."""

    prior: Prior
    facts: tuple[Fact, ...]
    identity: Identity

    @property
    def named(self) -> bool:
        """True when make and model are known."""
        return _named(self.identity)


Vehicle = list[Told]  # one vehicle, as each thread tells of it


def told_vehicles(prior: Iterable[Prior]) -> list[Vehicle]:
    """The vehicles that an asker told of in earlier threads, each kept apart where it may be another one."""
    told = [one for item in sorted(prior, key=lambda p: (p.when, p.thread)) for one in _of_thread(item)]
    vehicles: list[Vehicle] = []
    for one in sorted(told, key=lambda one: not one.named):
        fitting = [v for v in vehicles if all(_fits(one.identity, other.identity) for other in v)]
        same = [v for v in fitting if one.named == v[0].named]
        if len(same) == 1 and len(fitting) == 1:
            same[0].append(one)
        elif not fitting:
            vehicles.append([one])
    return vehicles


def _of_thread(prior: Prior) -> Iterator[Told]:
    if Same.ASKER not in prior.same:
        return
    for number in sorted({fact.vehicle for fact in prior.facts if fact.standing.holds}):
        facts = tuple(fact for fact in prior.facts if fact.vehicle == number)
        lasting = [fact for fact in facts if fact.name not in _PASSING and fact.standing.holds]
        if lasting:
            own = (fact for fact in facts if fact.message in prior.messages and _lasts(fact))
            yield Told(prior, tuple(own), identity_of(facts))


def _lasts(fact: Fact) -> bool:
    return fact.name not in _PASSING and fact.standing in _SAID


def identity_of(facts: Iterable[Fact]) -> Identity:
    """What tells a vehicle from others: every value that holds, by fact."""
    values: dict[str, set[FactValue]] = {}
    for fact in facts:
        if fact.name in _IDENTITY and fact.standing.holds:
            values.setdefault(fact.name, set()).add(_folded(fact.value))
    return {name: frozenset(found) for name, found in values.items()}


def _folded(value: FactValue) -> FactValue:
    return value.casefold() if isinstance(value, str) else value


def _named(identity: Identity) -> bool:
    return all(name in identity for name in _NAMES)


def _fits(one: Identity, two: Identity) -> bool:
    """Nothing that is known of both speaks against their being one vehicle."""
    return all(one[name] & two[name] for name in _IDENTITY if name in one and name in two)


def carried(
    vehicles: Sequence[Vehicle], now: Sequence[Fact], at: datetime, *, may_be_another: bool = False
) -> Iterator[Fact]:
    """Lasting facts of the one earlier vehicle that each vehicle told of now agrees with, in place of none told now.

    Make and model must agree. Where none is named, the asker must have told of just one vehicle, and no word
    may point to another (`may_be_another`).
    """
    for number in sorted({1, *(fact.vehicle for fact in now if fact.standing.holds)}):
        own = [fact for fact in now if fact.vehicle == number]
        meant = _meant(vehicles, own, now, may_be_another)
        if meant:
            said = {fact.name for fact in own if fact.standing in _SAID and fact.name in SINGLE}
            yield from (replace(fact, vehicle=number) for fact in _lasting(meant, said, at))


def _meant(vehicles: Sequence[Vehicle], own: Sequence[Fact], now: Sequence[Fact], another: bool) -> Vehicle | None:
    here = identity_of(own)
    fitting = [v for v in vehicles if all(_fits(here, told.identity) for told in v)]
    if _named(here):
        fitting = [v for v in fitting if v[0].named]
    elif another or len(vehicles) != 1 or _names_none_of_its_own(now):
        return None
    return fitting[0] if len(fitting) == 1 else None


def _names_none_of_its_own(now: Sequence[Fact]) -> bool:
    """A second vehicle, or one that is another's, before the asker's or only wished for, is told of."""
    apart = (Standing.OTHER, Standing.PAST, Standing.PLANNED)
    return any(fact.vehicle > 1 or (fact.name in _NAMES and fact.standing in apart) for fact in now)


def _lasting(vehicle: Vehicle, said: set[str], at: datetime) -> Iterator[Fact]:
    """Of each fact what was told last; nothing that was told now."""
    known = set(said)
    for told in reversed(vehicle):
        fresh = [fact for fact in told.facts if fact.name not in known and not _outdated(fact, told.prior, at)]
        for fact in fresh:
            basis = fact.basis.removeprefix("words: ")
            yield replace(fact, basis=f"thread {told.prior.thread}, {told.prior.when:%d %b %Y}: {basis}")
        known |= {fact.name for fact in fresh if fact.name in SINGLE}


def _outdated(fact: Fact, prior: Prior, at: datetime) -> bool:
    return fact.name in _AGES and at - prior.when > _AGES_HOLD

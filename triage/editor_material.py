"""From the queue to the growth room: what was asked and answered, as material for proposals."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain

from triage import after_hour
from triage.facts import holding
from triage.growth.general import Lifter
from triage.growth.material import Material, Sent
from triage.growth.proposal import Origin
from triage.growth.propose import Tools
from triage.growth.statements import Reader
from triage.growth.wordlists import WordLists
from triage.language.tokens import tokenise
from triage.matching.fit import fit, scope_values
from triage.model import Draft, Fact, Question
from triage.pack import Pack
from triage.pack.schema import Answer
from triage.particulars import trade_particulars
from triage.pipeline import Stages, condition_facts, told_symptoms, understand
from triage.segment.programme import Spoken
from triage.store import Store, Thread, ThreadState

ANSWERED = (ThreadState.REPLIED, ThreadState.SETTLED)
_ORIGINS = {"phone": Origin.PHONE, "on air": Origin.ON_AIR}


def tools_of(stages: Stages) -> Tools:
    """What proposing works with, from the stages of a pack."""
    pack, facts = stages.pack, stages.facts
    lists = WordLists(pack.growth.values(), pack.words.units)

    def wordings(text: str, others: Sequence[str]) -> Sequence[float]:
        if not others:
            return []
        vectors = stages.encoder.encode([text, *others])
        return [float(cosine) for cosine in vectors[1:] @ vectors[0]]

    def hazards_in(text: str, powertrain: str) -> tuple[str, ...]:
        dangers = understand(Question("growth", text), stages).dangers
        fitting = (note.hazard for note in dangers if pack.hazards[note.hazard].powertrain in ("any", powertrain))
        return tuple(dict.fromkeys(fitting))

    def against(answer: Answer, known: Mapping[str, Fact]) -> tuple[str, ...]:
        return fit(scope_values(answer), known, {}).disagrees

    lifter = Lifter(
        facts.language, lists, lambda text: facts.read(facts.language.annotate(text)), trade_particulars(pack)
    )
    return Tools(pack, facts.language, lists, lifter, against, wordings, hazards_in)


def reader_of(stages: Stages) -> Reader:
    """Reads the sentences of answers for what they state."""
    pack, facts = stages.pack, stages.facts
    nominal = {
        float(value)
        for name in ("pack_voltage", "battery_voltage")
        if name in pack.facts
        for value in pack.facts[name].values
        if value.replace(".", "", 1).isdigit()
    }
    lists = WordLists(pack.growth.values(), pack.words.units)
    return Reader(facts.language, lists, lambda text: condition_facts(text, facts), nominal)


def materials(store: Store, stages: Stages) -> Iterator[tuple[Thread, Material]]:
    """Every answered thread that was not looked at since its last reply, the oldest first."""
    seen = store.proposals.looked_at()
    worse = [phrase for record in stages.pack.growth.values() if record.kind == "worse" for phrase in record.words]
    on_air = _on_air(store, stages.pack)
    unsent = (thread for thread in map(store.thread, on_air) if thread.state not in ANSWERED)
    for thread in chain(store.each_thread(ANSWERED), unsent):
        told = on_air.get(thread.id, ())
        if thread.questions and len(thread.replies) + len(told) > seen.get(thread.id, 0):
            yield thread, material_of(thread, worse, told)


def _on_air(store: Store, pack: Pack) -> dict[int, tuple[Sent, ...]]:
    """What the host said otherwise than on the sheet, by thread; nobody is named in it."""
    found: dict[int, tuple[Sent, ...]] = {}
    for day in store.programmes.days():
        for told in after_hour.material_of(store, pack, day, only=Spoken.CHANGED):
            if told.changed:
                sent = Sent(Origin.ON_AIR, told.changed, told.by, f"on air {told.day}")
                found[told.thread] = (*found.get(told.thread, ()), sent)
    return found


def material_of(thread: Thread, worse: Sequence[str] = (), on_air: Sequence[Sent] = ()) -> Material:
    """One thread as material."""
    readings = [saved.reading for saved in thread.readings]
    every = (*thread.facts, *(fact for reading in readings for fact in reading.facts))
    facts = holding(every).facts | holding(thread.facts).facts
    versions = [reply.draft for reply in thread.replies if reply.draft]
    draft = thread.drafts[versions[-1] - 1].draft if versions else Draft("")
    out = " ".join(" ".join(reply.text.split()) for reply in thread.replies)
    sources = (sentence.source for sentence in draft.sentences if " ".join(sentence.text.split()) in out)
    first = thread.questions[0]
    intent = facts.get("intent")
    return Material(
        thread.id,
        thread.asker.email or thread.asker.name,
        "\n\n".join(question.text for question in thread.questions),
        first.message,
        facts,
        (*_replies(thread), *on_air),
        draft,
        tuple((match.answer, match.probability) for reading in readings for match in reading.matches),
        tuple(sorted(told_symptoms(every))),
        tuple(_measured(every)),
        tuple(dict.fromkeys(source.partition(":")[2] for source in sources if source.startswith("hazard:"))),
        str(intent.value) if intent else "",
        thread.opened_at.date(),
        helped(thread, worse),
        tuple(_names(thread)),
        tuple(str(fact.value) for fact in every if fact.name == "serial"),
    )


def _replies(thread: Thread) -> Iterator[Sent]:
    for number, reply in enumerate(thread.replies, 1):
        yield Sent(_ORIGINS.get(reply.how, Origin.REPLY), reply.text, reply.by, f"reply {number}")


def helped(thread: Thread, worse: Sequence[str] = ()) -> bool | None:
    """Did it fix it? Told by how the thread was settled; not known while it is open."""
    if thread.state is not ThreadState.SETTLED:
        return None
    said = " ".join(token.norm for token in tokenise(thread.outcome))
    return not any(phrase in said for phrase in worse)


def _measured(facts: Sequence[Fact]) -> Iterator[tuple[float, str]]:
    for fact in facts:
        if fact.name == "measurement":
            values = fact.value if isinstance(fact.value, tuple) else (fact.value,)
            yield from ((float(v), fact.unit) for v in values if isinstance(v, int | float))


def _names(thread: Thread) -> Iterator[str]:
    """Names of persons: asker, senders, and those who answered."""
    yield thread.asker.name
    yield from (message.sender.name for message in thread.messages)
    yield from (reply.by for reply in thread.replies)
    yield from (question.asker for question in thread.questions)

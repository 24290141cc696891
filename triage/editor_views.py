"""What the editor looks over: topics without an answer, how answers stand, causes that were confirmed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from triage.editor_material import helped
from triage.facts.symptom_pieces import pieces
from triage.growth.causes import Shift, confirmed, file_of, shifts, taken_back
from triage.growth.proposal import Topic
from triage.growth.standing import AnswerStanding, Use, standings
from triage.growth.topics import Asked, minutes_of, topics
from triage.growth.wordlists import stems_of
from triage.matching.masking import mask, masked_spans
from triage.model import Decision, Fact
from triage.pack import Pack, load
from triage.pack.assemble import assemble
from triage.pack.documents import read_document
from triage.pack.journal import change_files
from triage.pack.load import find_trade
from triage.pack.problem import suggest
from triage.pack.records import CAUSES
from triage.pack.schema import Cause, CauseSeen
from triage.pipeline import Stages
from triage.reply.sentences import blocks, sentences
from triage.store import EVERY, Reply, Store, Thread, ThreadState
from triage.unusable import Unusable
from triage.vectors import question_vectors

HEAVILY = 0.5  # share of what went out that stands in no draft, from which the answer was badly found
_ASIDE = (ThreadState.SET_ASIDE, ThreadState.AUTOMATIC)


def open_topics(store: Store, stages: Stages, today: date) -> tuple[Topic, ...]:
    """Topics without an answer, or badly answered."""
    worse = worse_words(stages.pack)
    every = (thread for thread in store.each_thread(EVERY) if thread.state not in _ASIDE and thread.questions)
    bad = (_asked(thread, stages) for thread in every if badly_answered(thread, worse))
    asked = [one for one in bad if stages.scope.recognised(one.vector) is None]
    plain = {stem for r in stages.pack.growth.values() if r.kind == "plain" for w in r.words for stem in stems_of(w)}
    return topics(asked, today, frozenset(plain))


def worse_words(pack: Pack) -> list[str]:
    """Words of an outcome that say it did not help."""
    return [phrase for record in pack.growth.values() if record.kind == "worse" for phrase in record.words]


def badly_answered(thread: Thread, worse: Sequence[str]) -> bool:
    """Nothing of the base was found, or what was found was mostly written anew, or did not help."""
    if helped(thread, worse) is False:
        return True
    if not thread.replies:
        unsure = any(saved.reading.unsure for saved in thread.readings)
        return thread.decision is Decision.NO_ANSWER or unsure
    return any(_written_share(reply, thread) >= HEAVILY for reply in thread.replies) or _came_back(thread)


def _written_share(reply: Reply, thread: Thread) -> float:
    """Share of a reply's sentences that stand in no draft."""
    drafted = {" ".join(s.text.split()) for version in thread.drafts for s in version.draft.sentences}
    told = [" ".join(text.split()) for block in blocks(reply.text) for text in sentences(block.text)]
    return sum(text not in drafted for text in told) / len(told) if told else 0.0


def _came_back(thread: Thread) -> bool:
    """The asker wrote again after the first reply that answered."""
    first = thread.replies[0].at
    return sum(bool(m.sent and m.sent > first and not m.automatic) for m in thread.messages) > 1


def _asked(thread: Thread, stages: Stages) -> Asked:
    question = thread.questions[0]
    document = stages.facts.language.annotate(question.text)
    facts = stages.facts.read(document)
    vectors = question_vectors(question, document, facts, pieces(document), stages.encoder)
    written = (text for reply in thread.replies for text in [reply.text] if _written_share(reply, thread) >= HEAVILY)
    parts = {f"part={mention.entry.key}" for mention in document.of_kind("part")}
    told = (fact for saved in thread.readings for fact in saved.reading.facts)
    return Asked(
        thread.id,
        thread.asker.email or thread.asker.name,
        thread.opened_at.date(),
        _masked(question.text, facts),
        vectors.masked_whole,
        frozenset(parts | {f"symptom={f.value}" for f in told if f.name == "symptom" and f.standing.holds}),
        minutes_of([message.text for message in thread.messages], written),
    )


def _masked(text: str, facts: Sequence[Fact]) -> str:
    return mask(text, masked_spans(facts))


def answer_standings(store: Store, pack: Pack, today: date) -> tuple[AnswerStanding, ...]:
    """How every answer of the base stands, the stalest first."""
    worse, uses, first = worse_words(pack), list[Use](), None
    for thread in store.each_thread(EVERY):
        first = min(first or thread.opened_at.date(), thread.opened_at.date())
        uses += _uses(thread, worse)
    return standings(pack.answers, uses, today, first)


def _uses(thread: Thread, worse: Sequence[str]) -> Iterator[Use]:
    for reply in thread.replies:
        draft = thread.drafts[reply.draft - 1].draft if reply.draft else None
        carried: dict[str, list[str]] = {}
        for sentence in draft.sentences if draft else ():
            if sentence.source.startswith("answer:"):
                carried.setdefault(sentence.source.partition(":")[2], []).append(sentence.text)
        out = " ".join(reply.text.split())
        for answer, texts in carried.items():
            kept = [text for text in texts if " ".join(text.split()) in out]
            if kept:
                back = _came_back(thread)
                yield Use(answer, thread.id, reply.at.date(), len(kept) < len(texts), helped(thread, worse), back)


def cause_shifts(pack: Pack) -> Sequence[Shift]:
    """Every cause with confirmed cases, and how they moved it."""
    return shifts(_own_priors(pack), seen_of(pack))


def _own_priors(pack: Pack) -> dict[str, Cause]:
    """The causes as trade and shop part tell them, without the shop's cases."""
    read = assemble(pack.root, find_trade())
    return {name: entry.record for name, entry in read.of(CAUSES).items()}


def seen_of(pack: Pack) -> dict[str, CauseSeen]:
    """The confirmed cases in the shop's own file."""
    file = seen_file(pack)
    rows: Any = (read_document(file).data() if file.is_file() else None) or []
    return {row["id"]: CauseSeen(row["id"], list(row["seen"])) for row in rows}


def seen_file(pack: Pack) -> Path:
    """The shop's file of confirmed causes."""
    return pack.root / "shop" / "causes_seen.yaml"


def confirm_cause(store: Store, pack: Pack, thread: int, cause: str, *, by: str, on: date) -> Pack:
    """Count a confirmed cause; the pack as it is now. Raises Unusable for a cause there is not, NotFound."""
    if cause not in pack.causes:
        raise Unusable(f"There is no cause '{cause}'. {suggest(cause, pack.causes)}")
    found = store.thread(thread)
    drive, fits = _drive(found), pack.causes[cause].powertrain
    if drive and fits not in ("any", drive):
        raise Unusable(f"'{cause}' is a cause of {fits} carts, and that of thread {found.id} is {drive}.")
    return _keep_seen(store, pack, confirmed(seen_of(pack), cause, found.id, on), f"thread {found.id}: {cause}", by)


def _drive(thread: Thread) -> str:
    """What drives the asker's cart, as last read; "" when that is not known."""
    facts = thread.readings[-1].reading.facts if thread.readings else ()
    held = (fact for fact in facts if fact.name == "powertrain" and fact.standing.holds and fact.vehicle == 1)
    return next((str(fact.value) for fact in held), "")


def take_back_cause(store: Store, pack: Pack, thread: int, *, by: str) -> Pack:
    """Take the case of a thread back; the pack as it is now."""
    return _keep_seen(store, pack, taken_back(seen_of(pack), thread), f"thread {thread}: taken back", by)


def _keep_seen(store: Store, pack: Pack, seen: dict[str, CauseSeen], note: str, by: str) -> Pack:
    change_files(pack.root / "shop", {seen_file(pack): file_of(seen).encode() if seen else None})
    store.proposals.note_cause(note, by=by)
    return load(pack.root)

"""What our last reply asked, as it was really sent, and what the asker's next message answers of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from triage.answered import Answers, Asked, answers_in
from triage.facts import FactReader
from triage.model import Fact, Question, Sentence, Standing
from triage.pack.schema import FactKind
from triage.store import Reply, Thread

_ASKS = ("gap:", "conflict:")


def heard_in(
    question: Question, thread: Thread, known: Iterable[Fact], reader: FactReader, kinds: Mapping[str, FactKind]
) -> Answers:
    """What a question's text answers of what the last reply before it had asked."""
    asked = asked_before(thread, question.message, known)
    if not asked:
        return Answers()
    document = reader.language.annotate(question.text)
    return answers_in(asked, document, reader.read(document), kinds)


def asked_before(thread: Thread, message: str, known: Iterable[Fact]) -> tuple[Asked, ...]:
    """What the last reply before a message asked for, in order; () where none asked anything."""
    sent = next((m.sent for m in thread.messages if m.id == message), None)
    earlier = [reply for reply in thread.replies if sent is None or reply.at <= sent]
    asked = asked_sentences(earlier[-1], thread) if earlier else ()
    thought = {fact.name: fact.value for fact in known if fact.standing is Standing.HEDGED and fact.vehicle == 1}
    names = dict.fromkeys(s.source.removeprefix("gap:") for s in asked if s.source.startswith("gap:"))
    return tuple(Asked(name, thought.get(name)) for name in names)


def asked_sentences(reply: Reply, thread: Thread) -> tuple[Sentence, ...]:
    """The questions of the draft that stand in what was really sent, in their order, each with how to find it out."""
    draft = next((version.draft for version in thread.drafts if version.version == reply.draft), None)
    said = _plain(reply.text)
    asked = _questions(draft.sentences) if draft else ()
    return tuple(sentence for sentence in asked if _plain(sentence.text).partition(" (")[0] in said)


def _questions(sentences: tuple[Sentence, ...]) -> Iterator[Sentence]:
    """A question and the sentences on how to find it out, joined; a conflict is told before it is asked about."""
    listed = {sentence.paragraph for sentence in sentences if sentence.bullet and sentence.source.startswith(_ASKS)}
    group: list[Sentence] = []
    for sentence in sentences:
        if not sentence.source.startswith(_ASKS) or (listed and sentence.paragraph not in listed):
            continue
        if group and (sentence.bullet or sentence.source != group[0].source):
            yield _joined(group)
            group = []
        group.append(sentence)
    if group:
        yield _joined(group)


def _joined(group: list[Sentence]) -> Sentence:
    text = " ".join(sentence.text for sentence in group)
    return Sentence(text.removeprefix("- "), group[0].source, 0, True)


def _plain(text: str) -> str:
    return " ".join(text.split())

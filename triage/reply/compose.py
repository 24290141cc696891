"""Compose the draft. Nothing technical enters that is not in an answer, a check, a hazard or a wording file."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from triage.model import (
    CheckStep,
    Conflict,
    Decision,
    Draft,
    Fact,
    Gap,
    HazardNote,
    Question,
    Sentence,
    Standing,
)
from triage.pack import Pack
from triage.pack.schema import Answer
from triage.reply.readability import reading_ease
from triage.reply.sentences import Block, blocks, sentences
from triage.reply.summary import problem_line, tried_line, vehicle_line
from triage.reply.wording import Phrasebook

MOST_CHECKS = 3
MOST_NOTES = 4

ReadCondition = Callable[[str], Mapping[str, object]]  # "it is a 36 V cart" -> {"pack_voltage": 36}


@dataclass(frozen=True, slots=True)
class Material:
    """What a draft may be made of."""

    decision: Decision
    facts: tuple[Fact, ...]
    holding: Mapping[str, Fact]
    answer: Answer | None
    gaps: tuple[Gap, ...]
    conflicts: tuple[Conflict, ...]
    checks: tuple[CheckStep, ...]
    hazards: tuple[HazardNote, ...]


def compose(
    question: Question, material: Material, pack: Pack, book: Phrasebook, read_condition: ReadCondition
) -> Draft:
    """The reply to one question, in the order a good technician writes: hear, warn, answer, check, ask, sign."""
    parts = [
        _opening(question, book),
        _understood(question, material, pack, book),
        _stop(question, material, book),
        _safety(question, material, book),
        _body(question, material, book, read_condition),
        _checks(question, material, book),
        _asking(question, material, book),
        _closing(question, material, book),
    ]
    numbered = _numbered(list(part) for part in parts)
    spelled = tuple(Sentence(book.spelled(s.text), s.source, s.paragraph, s.bullet) for s in numbered)
    draft = Draft(reply_subject(question.subject), spelled)
    return Draft(draft.subject, spelled, reading_ease(draft.body))


def reply_subject(subject: str) -> str:
    """ "Re: ..." once, whatever the subject already carries."""
    bare = subject.strip()
    return bare if bare.lower().startswith("re:") else f"Re: {bare or 'your question'}"


def _numbered(parts: Iterator[list[Sentence]]) -> Iterator[Sentence]:
    """Give each paragraph of each part its place in the whole."""
    paragraph = 0
    for part in parts:
        before = None
        for sentence in part:
            if before is not None and sentence.paragraph != before:
                paragraph += 1
            before = sentence.paragraph
            yield Sentence(sentence.text, sentence.source, paragraph, sentence.bullet)
        paragraph += bool(part)


def _said(text: str, key: str, paragraph: int = 0) -> Iterator[Sentence]:
    for sentence in sentences(text):
        yield Sentence(sentence, f"wording:{key}", paragraph)


def _opening(question: Question, book: Phrasebook) -> Iterator[Sentence]:
    name = first_name(question.asker)
    key = "greeting_named" if name else "greeting_plain"
    yield from _said(book.say(key, question.id, name=name), key)


def first_name(display: str) -> str:
    """The name to greet by: the first word of a display name that is a name; "" when there is none.

    >>> first_name("Mabel Thorne"), first_name("THORNE, Mabel"), first_name("info")
    ('Mabel', 'Mabel', '')
    """
    name = display.partition(",")[2].strip() or display.strip()
    first = name.split()[0].strip("\"'()") if name.split() else ""
    usual = first.isalpha() and len(first) > 1 and (len(name.split()) > 1 or first[0].isupper())
    if not usual or first.lower() in ("info", "sales", "office", "the", "mr", "mrs", "ms", "dr", "unknown"):
        return ""
    return first.capitalize() if first.isupper() or first.islower() else first


def _understood(question: Question, material: Material, pack: Pack, book: Phrasebook) -> Iterator[Sentence]:
    vehicle = vehicle_line(material.holding)
    problem = problem_line(material.facts, pack.symptoms)
    summary = ": ".join(part for part in (vehicle, problem) if part)
    if not summary:
        yield from _said(book.say("understood_nothing", question.id), "understood_nothing")
        return
    tried = tried_line(material.facts)
    text = book.say("understood_intro", question.id, summary=f"{summary}; already done: {tried}" if tried else summary)
    yield from _said(text, "understood_intro")
    for conflict in material.conflicts:
        text = book.say("conflict_intro", question.id, says=conflict.says)
        yield from (Sentence(s, f"conflict:{conflict.id}") for s in sentences(text))


def _stop(question: Question, material: Material, book: Phrasebook) -> Iterator[Sentence]:
    if any(note.stop for note in material.hazards):
        yield from _said(book.say("stop_using", question.id), "stop_using")
    if any(note.urgent for note in material.hazards):
        yield from _said(book.say("emergency", question.id), "emergency")


def _body(question: Question, material: Material, book: Phrasebook, read: ReadCondition) -> Iterator[Sentence]:
    if material.decision is Decision.HAND_OVER:
        key = "hand_over_urgent" if any(note.urgent for note in material.hazards) else "hand_over"
        yield from _said(book.say(key, question.id), key)
    elif material.answer is None:
        if material.decision is Decision.NO_ANSWER:
            yield from _said(book.say("no_answer", question.id), "no_answer")
    else:
        yield from answer_sentences(material.answer, material.holding, read)


def answer_sentences(answer: Answer, holding: Mapping[str, Fact], read: ReadCondition) -> Iterator[Sentence]:
    """The answer's text with only the branches that still apply."""
    for block in blocks(answer.text):
        if block.condition and not _still_applies(block, holding, read):
            continue
        for number, sentence in enumerate(sentences(block.text)):
            text = f"- {sentence}" if block.bullet and number == 0 else sentence
            yield Sentence(text, f"answer:{answer.id}", block.paragraph, block.bullet and number == 0)


def _still_applies(block: Block, holding: Mapping[str, Fact], read: ReadCondition) -> bool:
    """False when a firmly known fact differs from what the branch is for."""
    for name, value in read(block.condition).items():
        fact = holding.get(name)
        if fact and fact.standing is not Standing.HEDGED and fact.value != value:
            return False
    return True


def _checks(question: Question, material: Material, book: Phrasebook) -> Iterator[Sentence]:
    """Checks stand in for an answer; with one, the answer's own steps are enough."""
    if material.answer is not None or material.decision is Decision.HAND_OVER or not material.checks:
        return
    yield from _said(book.say("checks_intro", question.id), "checks_intro")
    for number, step in enumerate(material.checks[:MOST_CHECKS], start=1):
        for position, sentence in enumerate(sentences(step.text)):
            text = f"{number}. {sentence}" if position == 0 else sentence
            yield Sentence(text, f"check:{step.check}", 0, position == 0)


def _asking(question: Question, material: Material, book: Phrasebook) -> Iterator[Sentence]:
    conflict_asks = [(f"conflict:{c.id}", c.ask) for c in material.conflicts if c.ask]
    gap_asks = [(f"gap:{gap.fact}", f"{gap.ask} {_bracketed(gap.find_out)}".strip()) for gap in material.gaps]
    asks = (conflict_asks + gap_asks)[:3]
    if not asks or material.decision is Decision.NO_ANSWER:
        return
    yield from _said(book.say("ask_intro", question.id, count=len(asks)), "ask_intro")
    for source, ask in asks:
        for position, sentence in enumerate(sentences(ask)):
            yield Sentence(f"- {sentence}" if position == 0 else sentence, source, 0, position == 0)


def _bracketed(find_out: str) -> str:
    return f"({find_out.rstrip('.')}.)" if find_out else ""


def _safety(question: Question, material: Material, book: Phrasebook) -> Iterator[Sentence]:
    notes = _carried(material)
    if not notes:
        return
    yield from _said(book.say("safety_intro", question.id), "safety_intro")
    for note in notes:
        for position, sentence in enumerate(sentences(note.note)):
            text = f"{note.signal.value}: {sentence}" if position == 0 else sentence
            yield Sentence(text, f"hazard:{note.hazard}", 0, position == 0)


def _carried(material: Material) -> Sequence[HazardNote]:
    """Reported dangers always; those of steps only when the reply gives steps."""
    gives_steps = material.answer is not None or bool(material.checks)
    notes = [note for note in material.hazards if note.urgent or note.span is not None or gives_steps]
    reported = [note for note in notes if note.span is not None]
    return (reported + [note for note in notes if note.span is None])[: max(MOST_NOTES, len(reported))]


def _closing(question: Question, material: Material, book: Phrasebook) -> Iterator[Sentence]:
    gives_steps = material.answer is not None or bool(material.checks)
    if gives_steps and material.decision is not Decision.HAND_OVER:
        yield from _said(book.say("manual_rules", question.id), "manual_rules")
        yield from _said(book.say("local_rules", question.id), "local_rules")
    if material.decision is not Decision.HAND_OVER:
        key = _send_back(material)
        yield from _said(book.say(key, question.id), key)
    sign_off = book.say("sign_off", question.id)
    yield Sentence(sign_off, "wording:sign_off", 1)


def _send_back(material: Material) -> str:
    if material.gaps or material.conflicts:
        return "closing_send_back"
    return "closing_after_answer" if material.answer is not None else "closing_after_checks"

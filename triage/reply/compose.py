"""Compose the draft. Nothing technical enters that is not in an answer, a check, a hazard or a wording file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from triage.model import CheckStep, Conflict, Decision, Draft, Fact, Finding, Gap, HazardNote, Question, Sentence
from triage.pack import Pack
from triage.pack.schema import Answer
from triage.reply.asking import MOST_ASKS, Ask, asking, asks
from triage.reply.branches import ReadCondition, still_applies
from triage.reply.cautions import safety_notes, stop_lines
from triage.reply.readability import reading_ease
from triage.reply.sentences import blocks, sentences
from triage.reply.summary import said, taken_line, told_line, tried_line
from triage.reply.voice import Style, Voice, lower_after_colon
from triage.reply.wording import Phrasebook

MOST_CHECKS = 3
MOST_CONFLICTS = 2
MOST_FINDINGS = 2


@dataclass(frozen=True, slots=True)
class Material:
    """What a draft may be made of."""

    decision: Decision
    facts: tuple[Fact, ...]
    holding: Mapping[str, Fact]
    answer: Answer | None
    gaps: tuple[Gap, ...]
    conflicts: tuple[Conflict, ...]
    findings: tuple[Finding, ...]
    checks: tuple[CheckStep, ...]
    hazards: tuple[HazardNote, ...]
    unsure: bool = False  # handed over for want of a sure answer, not for danger or for what is no question

    @property
    def offers(self) -> Answer | None:
        """The answer the reply carries: none when a person must look first or when nothing fits."""
        return self.answer if self.decision in (Decision.ANSWER, Decision.ASK) else None

    @property
    def steps(self) -> tuple[CheckStep, ...]:
        """Checks stand in for an answer, where nothing speaks against them and it is known what drives the cart."""
        person_first = self.decision is Decision.HAND_OVER and not self.unsure
        if self.offers or person_first or "powertrain" not in self.holding:
            return ()
        return self.checks[:MOST_CHECKS]

    @property
    def gives_steps(self) -> bool:
        """True when the reply tells the asker to do something to the cart."""
        return bool(self.offers or self.steps)

    @property
    def asks(self) -> tuple[Ask, ...]:
        """Questions are put only where they decide something."""
        if self.decision is not Decision.ASK:
            return ()
        # an answer says itself what to do in each case: beside it, only the most telling question
        return asks(self.conflicts[:MOST_CONFLICTS], self.gaps)[: 1 if self.offers else MOST_ASKS]


def compose(
    question: Question,
    material: Material,
    pack: Pack,
    book: Phrasebook,
    read_condition: ReadCondition,
    style: Style = "mail",
) -> Draft:
    """The reply to one question, in the order a good technician writes: hear, warn, answer, check, ask, sign.

    `style` "chat" is a short message; "aloud" is to be read out: whole sentences, no lists, units in words.
    """
    voice, name = Voice(book, style, question.id), first_name(question.asker)
    parts = [
        _greeting(name, voice),
        _understood(material, pack, voice),
        stop_lines(material.hazards, voice),
        safety_notes(material.hazards, material.gives_steps, voice),
        _body(material, voice, read_condition),
        _checks(material, voice),
        asking(material.asks, voice),
        _closing(material, voice),
        _sign_off(name, voice),
    ]
    finished = tuple(replace(sentence, text=voice.finished(sentence.text)) for sentence in in_order(parts))
    draft = Draft(reply_subject(question.subject), finished)
    return replace(draft, reading_ease=reading_ease(draft.body))


def reply_subject(subject: str) -> str:
    """ "Re: ..." once, whatever the subject already carries."""
    bare = " ".join(subject.split())
    return bare if bare.lower().startswith("re:") else f"Re: {bare or 'your question'}"


def in_order(parts: Iterable[Iterable[Sentence]]) -> Iterator[Sentence]:
    """Give each paragraph of each part its place in the whole."""
    paragraph = 0
    for part in parts:
        before: int | None = None
        for sentence in part:
            if before is not None and sentence.paragraph != before:
                paragraph += 1
            before = sentence.paragraph
            yield replace(sentence, paragraph=paragraph)
        paragraph += before is not None


_NOT_A_PERSON = frozenset(
    "info sales office admin support the mr mrs ms miss dr unknown team desk club ltd limited inc company service "
    "services shop workshop group dept department and".split()
)


def first_name(display: str) -> str:
    """The name to greet by: the first word of a display name that is a person's; "" when there is none.

    >>> first_name("Mabel Thorne"), first_name("THORNE, Mabel"), first_name("info"), first_name("Green Park Team")
    ('Mabel', 'Mabel', '', '')
    """
    words = (display.partition(",")[2].strip() or display.strip()).split()
    first = words[0].strip("\"'()") if words else ""
    bare = first.replace("-", "").replace("'", "").replace("’", "")
    usual = bare.isalpha() and len(bare) > 1 and (len(words) > 1 or first[0].isupper())
    if not usual or any(word.lower().strip("\"'().,") in _NOT_A_PERSON for word in words):
        return ""
    return first.title() if first.isupper() or first.islower() else first


def _greeting(name: str, voice: Voice) -> Iterator[Sentence]:
    yield from voice.said("greeting_named" if name else "greeting_plain", name=name)


def _understood(material: Material, pack: Pack, voice: Voice) -> Iterator[Sentence]:
    summary = told_line(material.facts, material.holding, pack.symptoms, voice.book)
    if summary:
        aloud_only = "a cart; " if voice.style == "aloud" and not summary.startswith(("a ", "an ", "perhaps ")) else ""
        yield from voice.said("understood_intro", summary=aloud_only + summary)
        yield from _tried(material, voice)
    elif material.decision is Decision.ASK:
        yield from voice.said("understood_nothing")
    else:
        yield from voice.said("thanks")
    if material.unsure or material.decision in (Decision.ANSWER, Decision.ASK):
        yield from _taken(material, voice)
        yield from _found(material, voice)
        yield from _conflicting(material, pack, voice)


def _tried(material: Material, voice: Voice) -> Iterator[Sentence]:
    tried = tried_line(material.facts)
    if tried:
        yield from voice.said("understood_tried", summary=tried)


def _taken(material: Material, voice: Voice) -> Iterator[Sentence]:
    taken = taken_line(said(material.facts, material.holding), material.holding, voice.book)
    if taken:
        yield from voice.said("inferred_confirm", value=taken)


def _found(material: Material, voice: Voice) -> Iterator[Sentence]:
    for finding in material.findings[:MOST_FINDINGS]:
        for sentence in sentences(voice.say("finding", says=finding.says)):
            yield Sentence(sentence, f"finding:{finding.id}")


def _conflicting(material: Material, pack: Pack, voice: Voice) -> Iterator[Sentence]:
    names = frozenset(word for vehicle in pack.vehicles for word in f"{vehicle.make} {vehicle.model}".split())
    for number, conflict in enumerate(material.conflicts[:MOST_CONFLICTS]):
        text = voice.say("conflict_more" if number else "conflict_intro", says=conflict.says)
        for sentence in sentences(lower_after_colon(text, names)):
            yield Sentence(sentence, f"conflict:{conflict.id}")


def _body(material: Material, voice: Voice, read: ReadCondition) -> Iterator[Sentence]:
    if material.decision is Decision.HAND_OVER:
        yield from voice.said("hand_over_urgent" if any(note.urgent for note in material.hazards) else "hand_over")
    elif material.decision is Decision.NO_ANSWER:
        yield from voice.said("no_answer")
    elif material.offers:
        if material.decision is Decision.ASK or voice.style == "aloud":
            yield from voice.said("answer_likely", paragraph=-1)
        yield from answer_sentences(material.offers, material.holding, read, voice)
    elif not material.steps and not material.asks:
        yield from voice.said("hand_over")


def answer_sentences(
    answer: Answer, holding: Mapping[str, Fact], read: ReadCondition, voice: Voice
) -> Iterator[Sentence]:
    """The answer's text with only the branches that still apply."""
    for block in blocks(answer.text):
        if block.condition and not still_applies(block.condition, holding, read):
            continue
        source = f"answer:{answer.id}"
        if block.bullet:
            yield from voice.line(block.text, source, paragraph=block.paragraph)
        else:
            yield from (Sentence(text, source, block.paragraph) for text in sentences(block.text))


def _checks(material: Material, voice: Voice) -> Iterator[Sentence]:
    if not material.steps:
        return
    meanwhile = material.decision in (Decision.NO_ANSWER, Decision.HAND_OVER)
    yield from voice.said("checks_meanwhile" if meanwhile else "checks_intro")
    for number, step in enumerate(material.steps, start=1):
        yield from voice.line(step.text, f"check:{step.check}", f"{number}. ")


def _closing(material: Material, voice: Voice) -> Iterator[Sentence]:
    if material.gives_steps:
        yield from voice.said("rules")
    if material.asks:
        yield from voice.said("closing_send_back")
    elif material.offers:
        yield from voice.said("closing_after_answer")
    elif material.steps:
        yield from voice.said("closing_after_checks")


def _sign_off(name: str, voice: Voice) -> Iterator[Sentence]:
    if voice.style == "aloud":
        yield from voice.said("closing" if name else "closing_plain", name=name)
        return
    key = voice.key("sign_off")
    yield Sentence(voice.say("sign_off"), f"wording:{key}")

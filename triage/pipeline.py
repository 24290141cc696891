"""read(question) -> Reading: the only place that knows the order of the stages. No disk, network or clock of day."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import lru_cache
from time import perf_counter

from triage.conflicts import find_conflicts
from triage.diagnosis import beliefs, order_checks
from triage.diagnosis.causes import Evidence
from triage.facts import FactReader, holding
from triage.facts.catalogue import candidates, vehicle_value
from triage.facts.symptom_pieces import pieces
from triage.facts.symptom_reader import SymptomReader
from triage.gaps import choose_gaps
from triage.gaps.worth import Candidate
from triage.language import Document
from triage.matching.decide import decide
from triage.matching.encode import Encodes
from triage.matching.index import AnswerIndex
from triage.matching.masking import masked_spans
from triage.matching.rank import Ask, Ranker, denied_for, rank
from triage.model import CheckStep, Decision, Fact, FactValue, Match, Question, Reading, Span, Standing
from triage.pack import Pack
from triage.pack.schema import Answer
from triage.reply import Material, compose
from triage.reply.wording import Phrasebook
from triage.safety import HazardReader, Proposed
from triage.vectors import QuestionVectors, bare_subject, question_vectors

EVEN = 0.5  # an answer less likely right than wrong is not put into a reply; the gaps ask which it is
IN_PLAY = 5  # answers that gaps are weighed over


@dataclass(frozen=True)
class Stages:
    """The stages, compiled for one pack."""

    pack: Pack
    encoder: Encodes
    facts: FactReader
    symptoms: SymptomReader
    hazards: HazardReader
    index: AnswerIndex
    ranker: Ranker
    book: Phrasebook


class Stopwatch:
    """Milliseconds per stage."""

    def __init__(self) -> None:
        self.timing: dict[str, float] = {}

    @contextmanager
    def stage(self, name: str) -> Iterator[None]:
        """Time a stage under its name."""
        start = perf_counter()
        yield
        self.timing[name] = round((perf_counter() - start) * 1000, 3)


@dataclass(frozen=True)
class Understood:
    """What was told: the annotated text, its facts with symptoms, and its vectors."""

    document: Document
    facts: tuple[Fact, ...]
    vectors: QuestionVectors

    @property
    def held(self) -> dict[str, Fact]:
        """What holds of the asker's first vehicle, by name."""
        return holding(self.facts).facts


def understand(
    question: Question, stages: Stages, known: Iterable[Fact] = (), watch: Stopwatch | None = None
) -> Understood:
    """Facts and symptoms of a question, read together with what is already known."""
    watch = watch or Stopwatch()
    with watch.stage("facts"):
        document = stages.facts.language.annotate(question.text)
        facts = stages.facts.read(document, known)
    with watch.stage("embedding"):
        cut = pieces(document)
        vectors = question_vectors(question, document, facts, cut, stages.encoder)
    with watch.stage("symptoms"):
        facts = stages.symptoms.read(facts, document, cut, vectors.pieces)
    return Understood(document, facts, vectors)


def read(question: Question, stages: Stages, known: Iterable[Fact] = ()) -> Reading:
    """Everything the program can say about one question.

    `known` are facts of earlier messages of the thread, or set by a person; they are read together with this one.
    """
    pack, watch = stages.pack, Stopwatch()
    understood = understand(question, stages, known, watch)
    document, facts, held = understood.document, understood.facts, understood.held
    with watch.stage("conflicts"):
        conflicts = find_conflicts(facts, pack, document)
    with watch.stage("matching"):
        matches, none = rank(stages.index, ask_for(question, understood), stages.ranker)
    with watch.stage("diagnosis"):
        values = {name: fact.value for name, fact in held.items()}
        causes = beliefs(pack.causes.values(), pack.symptoms, _evidence(facts), values)
        checks = order_checks(pack.checks.values(), causes, values)
    with watch.stage("gaps"):
        gaps = choose_gaps(_in_play(matches, stages.index), held, pack.facts, _usual(facts, pack))
    answer = _carrying(matches, pack)
    with watch.stage("safety"):
        powertrain = str(held["powertrain"].value) if "powertrain" in held else ""
        told = stages.hazards.told(document, understood.vectors.sentences, facts)
    decision, reasons = decide(matches, none, gaps, told, conflicts)
    # a person looks first: the reply gives no steps, so that none needs a note
    proposed = Proposed({}) if decision is Decision.HAND_OVER else _proposed(answer, checks)
    hazards = stages.hazards.beside(told, proposed, powertrain)
    with watch.stage("draft"):
        carried = answer if decision in (Decision.ANSWER, Decision.ASK) else None
        material = Material(decision, facts, held, carried, gaps, conflicts, checks, hazards)
        draft = compose(question, material, pack, stages.book, lambda text: condition_facts(text, stages.facts))
    return Reading(
        id=question.id,
        facts=facts,
        conflicts=conflicts,
        gaps=gaps,
        matches=matches,
        decision=decision,
        reasons=reasons,
        causes=causes,
        checks=checks,
        hazards=hazards,
        draft=draft,
        timing_ms=watch.timing,
    )


@lru_cache(maxsize=4096)
def condition_facts(text: str, reader: FactReader) -> Mapping[str, tuple[FactValue, ...]]:
    """What a branch of an answer is for, read as a question would be: "it is a 36 V cart" -> {"pack_voltage": (36,)}.

    Kept for the next draft: the branches of a pack are few and read often.
    """
    firm = (Standing.STATED, Standing.HEDGED)
    repeats = ("symptom", "work_done", "modification", "measurement", "use", "intent")
    result: dict[str, tuple[FactValue, ...]] = {}
    for fact in reader.read(reader.language.annotate(text)):
        if fact.standing in firm and fact.name not in repeats:
            result[fact.name] = (*result.get(fact.name, ()), fact.value)
    return result


def ask_for(question: Question, understood: Understood) -> Ask:
    """What ranking needs to know of a question."""
    document, facts, held = understood.document, understood.facts, understood.held
    named = {index for span in masked_spans(facts) for index in _tokens_in(document, span)}
    words = [
        token.norm
        for index, token in enumerate(document.tokens)
        if token.is_word and len(token.norm) > 2 and index not in named
    ]
    earlier = re.findall(r"[a-z]{3,}", f"{bare_subject(question.subject)} {question.context}".lower())
    intent = held.get("intent")
    return Ask(
        understood.vectors.masked_whole,
        understood.vectors.masked_sentences,
        tuple(dict.fromkeys([*words, *earlier])),
        held,
        denied_for(facts),
        told_symptoms(facts),
        str(intent.value) if intent else "",
    )


def _tokens_in(document: Document, span: Span) -> Iterator[int]:
    for index, token in enumerate(document.tokens):
        if span.start <= token.start and token.end <= span.end:
            yield index


def told_symptoms(facts: Iterable[Fact]) -> frozenset[str]:
    """Symptoms that show on the asker's vehicle."""
    return frozenset(str(fact.value) for fact in facts if fact.name == "symptom" and fact.standing.holds)


def _evidence(facts: Sequence[Fact]) -> Evidence:
    denied = (str(f.value) for f in facts if f.name == "symptom" and f.standing is Standing.DENIED)
    work = [fact for fact in facts if fact.name == "work_done" and fact.standing.holds]
    return Evidence(
        told_symptoms(facts),
        frozenset(denied),
        frozenset(fact.what for fact in work if str(fact.value).endswith("replaced")),
        frozenset(fact.what for fact in work if fact.condition == "fine"),
    )


def _in_play(matches: Sequence[Match], index: AnswerIndex) -> list[Candidate]:
    numbers = {answer.id: number for number, answer in enumerate(index.answers)}
    result = []
    for match in matches[:IN_PLAY]:
        number = numbers[match.answer]
        needs = tuple(index.answers[number].needs)
        result.append(Candidate(match.probability, index.scopes[number], needs, index.branches[number]))
    return result


def _usual(facts: Sequence[Fact], pack: Pack) -> dict[str, dict[FactValue, float]]:
    """P(value) of each closed fact among the catalogue entries that agree with what holds (all, when none is named)."""
    known = holding(facts)
    fitting = candidates(known, pack) or [
        v for v in pack.vehicles if _same_powertrain(v.powertrain, known.value("powertrain"))
    ]
    result: dict[str, dict[FactValue, float]] = {}
    for name in ("powertrain", "make", "model", "pack_voltage", "battery_chemistry"):
        values = [vehicle_value(vehicle, name) for vehicle in fitting]
        present = [value for value in values if value is not None]
        if present:
            result[name] = {value: present.count(value) / len(present) for value in dict.fromkeys(present)}
    return result


def _same_powertrain(listed: str, told: object) -> bool:
    return told is None or listed == told


def _carrying(matches: Sequence[Match], pack: Pack) -> Answer | None:
    """The answer a reply may be built on: likelier right than wrong."""
    best = matches[0] if matches else None
    if best is None or best.probability < EVEN:
        return None
    return pack.answer(best.answer)


def _proposed(answer: Answer | None, checks: Sequence[CheckStep]) -> Proposed:
    """Hazards of the steps a reply would give: the answer's own, else those of the first checks."""
    if answer is not None:
        return Proposed(dict.fromkeys(answer.hazards, f"answer {answer.id}"))
    return Proposed({hazard: f"check {step.check}" for step in checks[:3] for hazard in step.hazards})


def with_message(facts: Iterable[Fact], message: str) -> tuple[Fact, ...]:
    """Facts marked with the message they were said in, to be carried to the thread's next one."""
    return tuple(
        replace(fact, message=fact.message or message) for fact in facts if fact.standing is not Standing.INFERRED
    )

"""read(question) -> Reading: the only place that knows the order of the stages. No disk, network or clock of day."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import lru_cache
from time import perf_counter

import numpy as np
from numpy.typing import NDArray

from triage.conflicts import find_conflicts, findings
from triage.diagnosis import Evidence, beliefs, explainer, order_checks, ratios_of, readings_of, settled, speaks
from triage.facts import FactReader, holding
from triage.facts.catalogue import vehicle_value
from triage.facts.intent_meaning import Heard, IntentReader, signs
from triage.facts.symptom_pieces import pieces
from triage.facts.symptom_reader import SymptomReader
from triage.gaps import Candidate, Told, choose_gaps, in_play, situation
from triage.language import Document
from triage.matching.decide import decide
from triage.matching.encode import Encodes, Vectors
from triage.matching.features import Heard as Likened
from triage.matching.features import hear
from triage.matching.fit import denied_values, mentioned_values
from triage.matching.index import AnswerIndex
from triage.matching.masking import masked_spans
from triage.matching.rank import Ask, Ranker, rank
from triage.matching.scope import ScopeReader
from triage.model import (
    CheckStep,
    Conflict,
    Decision,
    Draft,
    Fact,
    FactValue,
    Gap,
    HazardNote,
    Match,
    Question,
    Reading,
    Span,
    Standing,
)
from triage.pack import Pack
from triage.pack.schema import Answer
from triage.reply import Material, Style, compose
from triage.reply.wording import Phrasebook
from triage.safety import HazardReader, Proposed
from triage.vectors import QuestionVectors, bare_subject, question_vectors

KIN_OF = 3  # likeliest answers whose like for other vehicles are looked at beside them
KIN_FROM = 0.6  # cosine of two answers as whole texts
KIN_MOST = 50  # passages looked at in a large base
EVEN = 0.5  # an answer less likely right than wrong is not put into a reply; the gaps ask which it is
MOST_READ = 20_000  # characters; a letter of ten pages
UNREAD_TAIL = f"only the first {MOST_READ:,} characters were read: look through the rest"


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
    scope: ScopeReader
    intents: IntentReader
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
    """What was told: the annotated text, its facts with symptoms, its vectors, and the dangers reported."""

    document: Document
    facts: tuple[Fact, ...]
    vectors: QuestionVectors
    profile: Vectors  # (symptoms,): how plainly each is told
    dangers: tuple[HazardNote, ...]
    perils: Vectors  # (hazards,): how like each danger it sounds
    wants: NDArray[np.float64]  # (intents,): P(intent)

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
        profile = stages.symptoms.profile(document, cut, vectors.pieces)
        facts, wants = _wanted(document, facts, vectors, stages.intents)
    with watch.stage("safety"):
        dangers = stages.hazards.told(document, vectors.bounds, vectors.pieces, facts)
    return Understood(document, facts, vectors, profile, dangers.notes, dangers.profile, wants)


def _wanted(
    document: Document, facts: tuple[Fact, ...], vectors: QuestionVectors, intents: IntentReader
) -> tuple[tuple[Fact, ...], NDArray[np.float64]]:
    """The facts with the intent, and how much the message sounds like each."""
    if not document.sentences:
        return facts, np.zeros(0)
    message = heard(document, facts, intents.intents, vectors)
    return intents.read(facts, document, message), intents.shares(message)


def heard(document: Document, facts: Sequence[Fact], intents: Sequence[str], vectors: QuestionVectors) -> Heard:
    """A message as the intent reader sees it."""
    return Heard(vectors.masked_whole, vectors.masked_asking, signs(document, facts, intents))


def read(
    question: Question,
    stages: Stages,
    known: Iterable[Fact] = (),
    *,
    earlier: Iterable[HazardNote] = (),
    not_again: frozenset[str] = frozenset(),
    style: Style = "mail",
) -> Reading:
    """Everything the program can say about one question; of a very long one, its first MOST_READ characters.

    `known` are facts of earlier messages of the thread, or set by a person; they are read together with this one.
    `earlier` are the dangers told in messages before that nobody has answered yet: they count as if told now.
    `not_again` are facts that the asker was asked for and cannot tell.
    """
    pack, watch = stages.pack, Stopwatch()
    whole, question = question.text, replace(question, text=readable(question.text))
    understood = understand(question, stages, known, watch)
    document, facts, held = understood.document, understood.facts, understood.held
    with watch.stage("conflicts"):
        conflicts = find_conflicts(facts, pack, document)
        shown = findings(facts, pack)
    with watch.stage("matching"):
        ask = ask_for(question, understood, stages)
        likened = hear(stages.index, ask)
        matches, none = rank(stages.index, ask, stages.ranker, likened)
    with watch.stage("diagnosis"):
        values = {name: fact.value for name, fact in held.items()}
        evidence = _evidence(facts, values, pack)
        causes = beliefs(pack.causes.values(), pack.symptoms, evidence, values)
        checks = order_checks(pack.checks.values(), causes, values)
    with watch.stage("gaps"):
        gaps = _gaps(matches, ask, likened, stages, evidence, _not_to_ask(facts) | not_again, conflicts)
    answer = _carrying(matches, pack)
    powertrain = str(held["powertrain"].value) if "powertrain" in held else ""
    told = most_pressing((*earlier, *understood.dangers))
    aside = stages.scope.recognised(understood.vectors.masked_whole)
    decision, reasons = decide(matches, none, gaps, told, conflicts, aside)
    handed_over = decision is Decision.HAND_OVER
    unsure = handed_over and aside is None and not any(note.urgent for note in told)
    # a person looks first: where the reply gives no steps, none needs a note
    proposed = Proposed({}) if handed_over and not unsure else _proposed(None if unsure else answer, checks)
    hazards = stages.hazards.beside(told, proposed, powertrain)
    if len(question.text) < len(whole):
        reasons = (*reasons, UNREAD_TAIL)
    reading = Reading(
        id=question.id,
        facts=facts,
        conflicts=conflicts,
        findings=shown,
        gaps=gaps,
        matches=matches,
        decision=decision,
        reasons=reasons,
        unsure=unsure,
        causes=causes,
        checks=checks,
        hazards=hazards,
        timing_ms=watch.timing,
    )
    with watch.stage("draft"):
        return replace(reading, draft=drafted(question, reading, pack, stages.book, stages.facts, style))


def readable(text: str) -> str:
    """As much of a text as is read: MOST_READ characters at most, up to a blank where there is one near."""
    if len(text) <= MOST_READ:
        return text
    blank = max(text.rfind(sign, MOST_READ - 200, MOST_READ) for sign in " \n")
    return text[: blank if blank > 0 else MOST_READ]


def most_pressing(notes: Iterable[HazardNote]) -> tuple[HazardNote, ...]:
    """Each hazard once, what happens before what is planned and of equals the first; the most severe first."""
    best: dict[str, HazardNote] = {}
    for note in notes:
        known = best.get(note.hazard)
        if known is None or (note.urgent or note.stop) > (known.urgent or known.stop):
            best[note.hazard] = note
    return tuple(sorted(best.values(), key=lambda note: (not note.urgent, note.signal.rank, note.hazard)))


def drafted(
    question: Question, reading: Reading, pack: Pack, book: Phrasebook, reader: FactReader, style: Style
) -> Draft:
    """The reply to what was read, in one style; no model is run."""
    carried = _carrying(reading.matches, pack) if reading.decision in (Decision.ANSWER, Decision.ASK) else None
    material = Material(
        reading.decision,
        reading.facts,
        holding(reading.facts).facts,
        carried,
        reading.gaps,
        reading.conflicts,
        reading.findings,
        reading.checks,
        reading.hazards,
        reading.unsure,
    )
    return compose(question, material, pack, book, lambda text: condition_facts(text, reader), style)


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


def ask_for(question: Question, understood: Understood, stages: Stages) -> Ask:
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
        understood.vectors.pieces,
        tuple(dict.fromkeys([*words, *earlier])),
        held,
        denied_values(facts),
        told_symptoms(facts),
        str(intent.value) if intent else "",
        frozenset(mention.entry.key for mention in document.of_kind("part")),
        frozenset(note.hazard for note in understood.dangers if note.urgent),
        understood.profile,
        stages.scope.score(understood.vectors.masked_whole),
        understood.vectors.text,
        mentioned_values(facts),
        denied_symptoms(facts),
        understood.perils,
        understood.wants,
    )


def _tokens_in(document: Document, span: Span) -> Iterator[int]:
    for index, token in enumerate(document.tokens):
        if span.start <= token.start and token.end <= span.end:
            yield index


def told_symptoms(facts: Iterable[Fact]) -> frozenset[str]:
    """Symptoms that show on the asker's vehicle."""
    return frozenset(str(fact.value) for fact in facts if fact.name == "symptom" and fact.standing.holds)


def denied_symptoms(facts: Iterable[Fact]) -> frozenset[str]:
    """Symptoms the asker says it does not show."""
    denied = (fact for fact in facts if fact.name == "symptom" and fact.standing is Standing.DENIED)
    return frozenset(str(fact.value) for fact in denied)


def _evidence(facts: Sequence[Fact], held: Mapping[str, FactValue], pack: Pack) -> Evidence:
    work = [fact for fact in facts if fact.name == "work_done" and fact.standing.holds]
    moving = [phrase for clue in pack.clues.values() if clue.fact == "moving" for phrase in clue.phrases]
    readings = readings_of(facts, held, lambda fact: any(phrase in fact.condition.casefold() for phrase in moving))
    present = told_symptoms(facts)
    return Evidence(
        present,
        denied_symptoms(facts),
        frozenset(fact.what for fact in work if str(fact.value).endswith("replaced")),
        frozenset(fact.what for fact in work if fact.condition == "fine"),
        ratios_of(pack.evidence.values(), held, readings, present),
    )


def _gaps(
    matches: Sequence[Match],
    ask: Ask,
    likened: Likened,
    stages: Stages,
    evidence: Evidence,
    aside: frozenset[str],
    conflicts: Sequence[Conflict],
) -> tuple[Gap, ...]:
    """What to ask: over the answers open to every vehicle the asker may have, not only to the likeliest."""
    pack, index = stages.pack, stages.index
    vehicles = situation(ask.facts, pack.vehicles, vehicle_value, ask.denied)
    sure = {name: fact for name, fact in vehicles.firm.items() if fact.standing is not Standing.HEDGED}
    if sure.keys() != ask.facts.keys():
        matches, _ = rank(index, replace(ask, facts=sure), stages.ranker, likened)
    play = _in_play(matches, index)
    if cuts := {year for candidate in play for year in _cuts(candidate.scope)}:
        vehicles = situation(ask.facts, pack.vehicles, vehicle_value, ask.denied, cuts)
    explain = explainer(pack.causes.values(), pack.symptoms, evidence)
    contradicted = frozenset(name for conflict in conflicts for name in conflict.facts)
    aside |= settled(pack.evidence.values(), ask.symptoms)
    told = Told(ask.symptoms, aside, contradicted, speaks(pack.evidence.values()))
    return choose_gaps(play, ask.facts, pack.facts, vehicles, told, explain)


def _cuts(scope: Mapping[str, tuple[FactValue, ...]]) -> tuple[int, ...]:
    """Years from which an answer's range begins or has ended."""
    if "year" not in scope:
        return ()
    first, last = scope["year"]
    return int(str(first)), int(str(last)) + 1


def _not_to_ask(facts: Iterable[Fact]) -> frozenset[str]:
    """Facts told as a wish ("can I go 48?"), or denied outright ("no lift")."""
    return frozenset(
        fact.name
        for fact in facts
        if fact.vehicle == 1
        and (fact.standing is Standing.PLANNED or (fact.standing is Standing.DENIED and fact.value == 0))
    )


def _in_play(matches: Sequence[Match], index: AnswerIndex) -> tuple[Candidate, ...]:
    """The likeliest answers, with those worded alike for other vehicles."""
    found = {index.numbers[match.answer]: match.probability for match in matches}
    found = dict.fromkeys(_alike([*found][:KIN_OF], index), 0.0) | found
    scopes, branches = index.scopes, index.branches
    return in_play(
        [
            Candidate(share, scopes[number], tuple(index.answers[number].needs), branches[number], vector)
            for (number, share), vector in zip(found.items(), index.whole([*found]), strict=True)
        ]
    )


def _alike(numbers: Sequence[int], index: AnswerIndex) -> Iterator[int]:
    """Answers worded like one of these, whichever vehicles they are for."""
    vectors = index.whole(numbers)
    whole = index.is_small or not len(vectors)
    pool = np.arange(len(index)) if whole else index.close_to(vectors, KIN_MOST)
    likeness = (index.whole(pool.tolist()) @ vectors.T).max(axis=1, initial=0.0)
    yield from pool[likeness >= KIN_FROM].tolist()


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

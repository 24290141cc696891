"""What a question is about: the matter it shares with others, its part of the cart, its depth."""

from __future__ import annotations

from dataclasses import dataclass

from triage.model import Decision, Reading
from triage.pack import Pack
from triage.pack.schema import Answer
from triage.segment.programme import PUZZLING, Depth

SURE = 0.5  # an answer less likely right than wrong is not given
SAME = 0.6  # from here on two questions with one answer count as two askers of one matter
BRIEF = frozenset({"which_part", "size", "identify"})  # intents that one fact answers
CAUSE_COUNTS = 0.08  # a cause less likely than this is not worth a word


@dataclass(frozen=True, slots=True)
class Matter:
    """What a question is about."""

    topic: str  # same for two questions that one answer settles
    about: str  # to be said: "wheel nuts"
    system: str
    vehicle: str
    depth: Depth
    puzzle: float  # 0..1
    plain: bool = True  # False where the topic is only a guess: it does not count as one more asker


def likely_answer(reading: Reading, pack: Pack, sure: float = SURE) -> Answer | None:
    """The answer it most likely is about, where it is as sure as that."""
    best = reading.matches[0] if reading.matches else None
    return pack.answer(best.answer) if best and best.probability >= sure else None


def has_answer(reading: Reading, pack: Pack) -> bool:
    """True when there is something to say now."""
    return reading.decision in (Decision.ANSWER, Decision.ASK) and likely_answer(reading, pack) is not None


def matter_of(thread: int, reading: Reading, pack: Pack) -> Matter:
    """What the question of a thread is about."""
    answer, symptoms = likely_answer(reading, pack), told_symptoms(reading, pack)
    puzzle = puzzle_of(reading)
    system = _system(answer, symptoms, pack)
    return Matter(
        topic=answer.id if answer else "+".join(sorted(symptoms[:2])) or f"thread {thread}",
        about=f"the {pack.symptoms[symptoms[0]].component}" if symptoms else system,
        system=system,
        vehicle=" ".join(held(reading, name) for name in ("make", "model")).strip() or held(reading, "powertrain"),
        depth=_depth(reading, puzzle),
        puzzle=puzzle,
        plain=answer is None or likely_answer(reading, pack, SAME) is not None,
    )


def told_symptoms(reading: Reading, pack: Pack) -> list[str]:
    """The symptoms told of the asker's own cart, in the order told."""
    told = [str(f.value) for f in reading.facts if f.name == "symptom" and f.standing.holds and f.vehicle == 1]
    return [name for name in dict.fromkeys(told) if name in pack.symptoms]


def held(reading: Reading, name: str) -> str:
    """A fact's value as text, where it holds of the asker's own cart."""
    found = [f for f in reading.facts if f.name == name and f.standing.holds and f.vehicle == 1]
    return str(found[0].value) if found else ""


def puzzle_of(reading: Reading) -> float:
    """How much there is to reason about: causes beyond the first, things that do not fit, what readings show."""
    causes = sum(cause.probability >= CAUSE_COUNTS for cause in reading.causes)
    return min(1.0, 0.2 * max(0, causes - 1) + 0.3 * bool(reading.conflicts) + 0.3 * bool(reading.findings))


def _system(answer: Answer | None, symptoms: list[str], pack: Pack) -> str:
    named = [*symptoms, *(answer.symptoms if answer else ())]
    if named:
        return pack.symptoms[named[0]].component
    return answer.tags[0] if answer and answer.tags else ""


def _depth(reading: Reading, puzzle: float) -> Depth:
    if puzzle >= PUZZLING:
        return Depth.PUZZLE
    return Depth.SHORT if held(reading, "intent") in BRIEF else Depth.WORKED

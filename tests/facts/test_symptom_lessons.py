"""What is learnt from, and that the shipped weights were learnt from what is shipped."""

from __future__ import annotations

from pathlib import Path

from eval.metrics_symptoms_told import load_told
from triage.engine import symptom_lessons
from triage.facts.symptom_lessons import Lesson, lessons
from triage.facts.symptom_weights import SHIPPED, weights_name
from triage.matching.encode import Encoder
from triage.pack import load
from triage.pack.schema import Symptom, SymptomTold

HUMS = Symptom("hums", "hums", "motor", "hums", examples=["it hums"], unlike=["it sings"])
KNOWLEDGE = Path(__file__).parents[2] / "knowledge"


def test_a_sentence_told_of_two_symptoms_teaches_both_once() -> None:
    told = SymptomTold("hot", sentences=["It hums", "it is hot"])
    both = Lesson("it hums", frozenset({"hums", "hot"}))
    assert lessons([HUMS], [told]) == (both, Lesson("it sings"), Lesson("it is hot", frozenset({"hot"})))


def test_what_tells_nothing_elsewhere_does_not_take_a_symptom_back() -> None:
    assert lessons([HUMS], [SymptomTold("none", unlike=["it hums"])], ["it hums"])[0].symptoms == {"hums"}


def test_the_shipped_weights_are_those_of_the_shipped_lessons() -> None:
    """When this fails: python -m eval.symptoms.ship."""
    pack = load(KNOWLEDGE)
    name = weights_name(list(pack.symptoms), symptom_lessons(pack), Encoder().tag)
    assert [file.name for file in SHIPPED.iterdir()] == [name]


def test_no_labelled_sentence_is_taught() -> None:
    taught = {lesson.text.casefold() for lesson in symptom_lessons(load(KNOWLEDGE))}
    assert not [sentence.id for sentence in load_told() if sentence.text.casefold() in taught]

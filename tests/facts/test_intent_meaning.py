"""What a message wants, learnt from told examples: exact vectors stand in for the encoder."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from triage.facts.intent_meaning import Heard, IntentReader, asking_sentence, signs
from triage.language import Document, Language
from triage.model import Fact, Span, Standing
from triage.pack.words import Words

INTENTS = ("how_to", "size")
WORDS = Words(intents={"how_to": ["how do i"], "size": ["how big"]})


@pytest.fixture(scope="module")
def language() -> Language:
    return Language(WORDS)


def heard(axis: int, document: Document, facts: Sequence[Fact] = ()) -> Heard:
    """A message that lies on one axis of a plane of meanings."""
    vector = np.eye(2, dtype=np.float32)[axis]
    return Heard(vector, vector, signs(document, facts, INTENTS))


@pytest.fixture(scope="module")
def reader(language: Language) -> IntentReader:
    plain = language.annotate("the seat")
    return IntentReader.learn({name: [heard(axis, plain)] * 20 for axis, name in enumerate(INTENTS)})


@pytest.mark.parametrize(("axis", "intent"), [(0, "how_to"), (1, "size")])
def test_a_message_wants_what_the_likest_examples_want(
    reader: IntentReader, language: Language, axis: int, intent: str
) -> None:
    document = language.annotate("The seat is loose.")
    (fact,) = reader.read((), document, heard(axis, document))
    assert (fact.name, fact.value, fact.standing, fact.span) == ("intent", intent, Standing.INFERRED, Span(0, 18))


def test_an_intent_read_from_words_keeps_its_evidence_where_both_agree(
    reader: IntentReader, language: Language
) -> None:
    document = language.annotate("How big is it?")
    told = Fact("intent", "size", span=Span(0, 7), basis="words: 'How big'")
    assert reader.read((told,), document, heard(1, document, (told,))) == (told,)


def test_an_intent_set_by_a_person_stays(reader: IntentReader, language: Language) -> None:
    document = language.annotate("How big is it?")
    set_by_hand = Fact("intent", "how_to")
    assert reader.read((set_by_hand,), document, heard(1, document)) == (set_by_hand,)


def test_without_examples_the_rules_decide(language: Language) -> None:
    document = language.annotate("How big is it?")
    told = Fact("intent", "size", span=Span(0, 7))
    assert IntentReader.learn({}).read((told,), document, heard(0, document)) == (told,)


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("It hums. What is it? Thank you.", "What is it?"),
        ("It hums. It stops.", "It stops."),
        ("Why? And then. And more.", "Why?"),
    ],
)
def test_the_last_question_is_the_sentence_that_asks(language: Language, text: str, asked: str) -> None:
    document = language.annotate(text)
    span = document.sentences[asking_sentence(document)]
    assert text[span.start : span.end] == asked

"""What holds for any text: it is read without an error, and every fact points at words that stand there."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from triage.facts import FactReader
from triage.model import Standing

WORDS = (
    "my the a no not is was 36 48 6 8 12 1/2 volt volts v inch in lark ridge tarvik battery batteries solenoid "
    "replaced new want can i think sorry neighbour used to mph 15 2009 '09 twenty twelve point five x - , . ? : \n "
    "\n\n don't lithium petrol lift lifted tyre tyres controller amp 400 reads at rest the other cart mine six of "
    "them LK03A12345"
).split(" ")
typed = st.lists(st.sampled_from(WORDS), max_size=40).map(" ".join)
anything = st.text(max_size=300)
mixed = st.lists(st.one_of(st.sampled_from(WORDS), st.text(max_size=8)), max_size=30).map(" ".join)
usual = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@usual
@given(st.one_of(typed, anything, mixed))
def test_every_fact_points_at_words_of_the_text(reader: FactReader, text: str) -> None:
    document = reader.language.annotate(text)
    for fact in reader.read(document):
        for span in (fact.span, *fact.mentions):
            assert span is not None
            assert 0 <= span.start < span.end <= len(text)
            assert text[span.start : span.end].strip() == text[span.start : span.end]
        assert fact.basis or fact.name == "symptom"


@usual
@given(st.one_of(typed, anything, mixed))
def test_tokens_stand_in_order_and_are_the_text(reader: FactReader, text: str) -> None:
    end = 0
    for token in reader.language.annotate(text).tokens:
        assert end <= token.start < token.end
        assert text[token.start : token.end] == token.text
        end = token.end


@usual
@given(st.one_of(typed, mixed), st.sampled_from([" ", "   ", "\n", " \n \t "]))
def test_white_space_at_the_end_changes_nothing(reader: FactReader, text: str, space: str) -> None:
    text = text.rstrip()
    read = [reader.read(reader.language.annotate(version)) for version in (text, text + space)]
    assert read[0] == read[1]


@usual
@given(typed)
def test_reading_twice_gives_the_same(reader: FactReader, text: str) -> None:
    assert reader.read(reader.language.annotate(text)) == reader.read(reader.language.annotate(text))


@usual
@given(typed, typed)
def test_an_earlier_message_is_never_lost_to_silence(reader: FactReader, first: str, second: str) -> None:
    """A vehicle's name told once is still there after a message that names none."""
    told = (f for f in reader.read(reader.language.annotate(first)) if f.standing is not Standing.INFERRED)
    known = [replace(fact, message="the first") for fact in told]
    names = {fact.value for fact in known if fact.name == "model"}
    after = reader.read(reader.language.annotate(second), known)
    assert names <= {fact.value for fact in after if fact.name == "model"}

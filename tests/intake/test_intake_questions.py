# ruff: noqa: E501 - tables read better one case a line
"""Several questions in one message told apart; one story stays one question."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.intake import from_text, split_questions


def pieces(text: str) -> list[str]:
    return [question.text for question in split_questions(from_text(text))]


@pytest.mark.parametrize(
    "parts",
    [
        pytest.param(["Two things.\n1. What size are the tyres?", "2. Can I fit a lift?"], id="numbered"),
        pytest.param(
            ["1) Is it safe to weld near the pack?", "2) How long does it charge?", "3) Which fuse?"],
            id="brackets",
        ),
        pytest.param(["It will not start, only clicks.", "Second question: what size are the tyres?"], id="announced"),
        pytest.param(["Why does it hum?", "While I have you, do you sell seat covers?"], id="while-i-have-you"),
        pytest.param(["Why does it hum?", "Also, what tyre size fits the old model?"], id="also"),
        pytest.param(["It won't charge.", "On another note, how much is a windscreen?"], id="another-note"),
        pytest.param(["Why does it hum?", "PS: can I tow it home?"], id="postscript"),
    ],
)
@pytest.mark.parametrize("between", ["\n\n", "\n"])
def test_questions_told_apart(parts, between):
    assert pieces(between.join(parts)) == parts


@pytest.mark.parametrize(
    "other", ["My other cart pulls to the left, why?", "My wife's cart is fine but what oil does it need?"]
)
def test_a_paragraph_on_another_vehicle_is_another_question(other):
    assert pieces(f"My cart won't charge overnight.\n\n{other}") == ["My cart won't charge overnight.", other]
    assert len(pieces(f"My cart won't charge overnight. {other}")) == 1


def test_no_more_than_twenty_questions_are_cut():
    assert len(pieces("\n\n".join(["Second question: what oil does it need?"] * 50))) == 20


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("My cart clicks. I checked the pack. Is it the solenoid? Or the motor?", id="one-story-two-marks"),
        pytest.param("It hums. Also it smells hot.", id="also-tells-more"),
        pytest.param("Why does it click? Also, could it be the solenoid?", id="also-points-back"),
        pytest.param(
            "I tried this:\n1. charged it\n2. checked the fuse\n3. swapped the key\nStill dead, why?",
            id="steps",
        ),
        pytest.param(
            "It stopped on the hill.\n\nThe next day it ran.\n\nThen it stopped again. What is wrong?",
            id="days",
        ),
        pytest.param("Second thing I did was charge it.", id="starts-with-second"),
        pytest.param("Does it need oil?\n\nMy other half says hello.", id="nothing-asked-after"),
        pytest.param("The brother of my neighbour says it is the motor. Is he right?", id="neighbour-told-me"),
        pytest.param("Is the pack 48 V?\n2012 model.", id="year-is-no-number"),
    ],
)
def test_one_story_is_one_question(text):
    assert pieces(text) == [text]


def test_ids_and_senders():
    message = from_text("Why does it hum?\n\nSecond question: what oil?", sender="Jo <jo@mail.example>", subject="two")
    first, second = split_questions(message)
    assert (first.id, second.id) == (f"{message.id}#1", f"{message.id}#2")
    assert (second.message, second.asker, second.subject) == (message.id, "Jo", "two")


def test_no_text_is_no_question():
    assert split_questions(from_text("")) == ()


SENTENCES = st.sampled_from(
    ["Why does it hum?", "Also, what oil?", "Second question: what size?", "1. Is it ok?", "2. Can I tow it?", "\n\n", "\n",
     "My other cart won't start.", " ", "It clicks.", "PS. thanks", "  Ünïcode 電池? "]
)  # fmt: skip


@given(st.lists(SENTENCES, max_size=14).map(" ".join))
def test_offsets_are_exact_and_the_slices_cover_the_text(text):
    message = from_text(text)
    questions = split_questions(message)
    end = 0
    for question in questions:
        assert message.text[question.offset : question.offset + len(question.text)] == question.text
        assert not message.text[end : question.offset].strip()
        end = question.offset + len(question.text)
    assert not message.text[end:].strip()

"""Two questions in one message: one greeting, one sign-off, dangers first, a part each, three questions at most."""

from __future__ import annotations

import pytest
from toys import fact

from reply.making import ANSWER, CONFLICT, STEPS, book, draft, gap, material, note
from triage.model import Decision, Signal
from triage.reply.combine import combine

LARK = (fact("make", "Tarvik"), fact("model", "Lark"), fact("powertrain", "electric"))
SMOKE = note("smoke_heat", Signal.DANGER, urgent=True, stop=True, emergency=True)


def both(first, second):
    parts = [("clicks but will not move", draft(first, id="q#1")), ("which tyre fits?", draft(second, id="q#2"))]
    return combine(parts, book())


def sources(reply, prefix):
    return [sentence for sentence in reply.sentences if sentence.source.startswith(prefix)]


PAIRS = [
    pytest.param(material(Decision.ANSWER, *LARK), material(Decision.ANSWER, *LARK), id="two-answers"),
    pytest.param(
        material(Decision.ASK, *LARK, answer=None, gaps=tuple(map(gap, "abc"))),
        material(Decision.ASK, *LARK, answer=None, gaps=tuple(map(gap, "cde"))),
        id="two-that-ask",
    ),
    pytest.param(
        material(Decision.NO_ANSWER, *LARK), material(Decision.HAND_OVER, *LARK, hazards=(SMOKE,)), id="none-and-danger"
    ),
    pytest.param(
        material(Decision.ASK, *LARK, conflicts=(CONFLICT,)),
        material(Decision.ANSWER, *LARK, hazards=(SMOKE, note("acid"))),
        id="conflict-and-notes",
    ),
    pytest.param(
        material(Decision.NO_ANSWER, *LARK, checks=STEPS),
        material(Decision.NO_ANSWER, hazards=(note("acid"),)),
        id="two-without-an-answer",
    ),
]


@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_one_greeting_and_one_sign_off(first, second):
    reply = both(first, second)
    assert len(sources(reply, "wording:greeting")) == len(sources(reply, "wording:sign_off")) == 1
    assert reply.sentences[0].source.startswith("wording:greeting")
    assert reply.sentences[-1].source == "wording:sign_off"
    assert len(sources(reply, "wording:understood_intro")) <= 1


@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_dangers_stand_before_every_step_of_either_part(first, second):
    order = [sentence.source.partition(":")[0] for sentence in both(first, second).sentences]
    steps = [place for place, source in enumerate(order) if source in ("answer", "check")]
    last = max((place for place, source in enumerate(order) if source == "hazard"), default=-1)
    assert last < min(steps, default=len(order))


@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_three_questions_at_most_and_none_twice(first, second):
    asked = [sentence.text for sentence in sources(both(first, second), ("gap:", "conflict:")) if sentence.bullet]
    assert len(asked) == len(set(asked)) <= 3


def test_the_count_is_that_of_the_questions_put():
    reply = both(
        material(Decision.ASK, *LARK, answer=None, gaps=(gap("a"),)),
        material(Decision.ASK, *LARK, answer=None, gaps=(gap("b"),)),
    )
    assert re_count(reply) == "two"


def re_count(reply) -> str:
    intro = " ".join(sentence.text for sentence in sources(reply, "wording:ask_intro"))
    return next(word for word in ("one", "two", "three") if word in intro.lower())


@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_no_note_and_no_closing_twice(first, second):
    body = both(first, second).body
    for line in body.splitlines():
        if line.startswith(("DANGER", "WARNING", "CAUTION")):
            assert body.count(line) == 1
    assert body.count("licensed work") <= 1


def test_the_second_part_says_what_it_is_about():
    reply = both(material(Decision.ANSWER, *LARK), material(Decision.NO_ANSWER, *LARK))
    (intro,) = sources(reply, "wording:second_question_intro")
    assert '"which tyre fits?"' in intro.text
    places = [sentence.source for sentence in reply.sentences]
    assert places.index(f"answer:{ANSWER.id}") < places.index(intro.source) < places.index("wording:no_answer")


@pytest.mark.parametrize(
    "topic", ["2. which tyre fits?", "Also, which tyre fits?", "Second question: which tyre fits?"]
)
def test_the_second_part_is_named_without_its_number(topic):
    parts = [("clicks", draft(material())), (topic, draft(material(), id="q#2"))]
    (intro,) = sources(combine(parts, book()), "wording:second_question_intro")
    assert '"which tyre fits?"' in intro.text


def test_every_sentence_of_the_parts_that_says_something_is_still_there():
    reply = both(material(Decision.ANSWER, *LARK), material(Decision.ASK, *LARK, answer=None, checks=STEPS))
    assert {f"answer:{ANSWER.id}", "check:look", "check:measure"} <= {s.source for s in reply.sentences}


def test_one_question_is_left_as_it_is():
    only = draft(material(Decision.ANSWER, *LARK))
    assert combine([("x", only)], book()) == only


def test_paragraphs_are_in_order_and_apart():
    for case in PAIRS:
        numbers = [sentence.paragraph for sentence in both(*case.values).sentences]
        assert numbers == sorted(numbers)
        assert "\n\n\n" not in both(*case.values).body

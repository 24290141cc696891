"""Which branches of an answer stay: gone only when something firm speaks against all that they name."""

from __future__ import annotations

import pytest
from toys import fact, held

from reply.making import read_condition
from triage.model import Standing
from triage.reply.branches import still_applies
from triage.reply.sentences import blocks, sentences

LARK_48 = held(fact("make", "Tarvik"), fact("model", "Lark"), fact("pack_voltage", 48), fact("year", 2012))
PETROL = held(fact("powertrain", "petrol"), fact("engine_turns", "yes"), fact("solenoid_click", "no"))


@pytest.mark.parametrize(
    ("condition", "known", "stays"),
    [
        pytest.param("it is a 48 V cart", LARK_48, True, id="the-same"),
        pytest.param("it is a 36 V cart", LARK_48, False, id="another-voltage"),
        pytest.param("it is a 36 V cart", {}, True, id="not-known"),
        pytest.param("it is a 36 V cart", held(fact("pack_voltage", 48, Standing.HEDGED)), True, id="hedged"),
        pytest.param("it is a 36 V cart", held(fact("pack_voltage", 48, Standing.INFERRED)), False, id="inferred"),
        pytest.param("it is a 36, 48 or 72 V cart", LARK_48, True, id="one-of-a-list"),
        pytest.param("it is a Tarvik, a Hollin or a Courier", LARK_48, True, id="one-of-the-alternatives"),
        pytest.param("it is a Hollin or a Courier", LARK_48, False, id="none-of-the-alternatives"),
        pytest.param("it is a Dot or a cart with tired wiring", LARK_48, True, id="an-alternative-nobody-can-tell"),
        pytest.param("it is a Courier, 48 V", LARK_48, False, id="both-must-hold"),
        pytest.param("it is a Lark", held(fact("model", "Lark Li")), True, id="a-plain-name-for-its-variant"),
        pytest.param("it is 2008 or newer", LARK_48, True, id="or-newer"),
        pytest.param("it is 2015 or newer", LARK_48, False, id="not-that-new"),
        pytest.param("it is from 2008 on", LARK_48, True, id="from-on"),
        pytest.param("it was made before 2008", LARK_48, False, id="not-that-old"),
        pytest.param("it is a 2012 one", LARK_48, True, id="the-year-itself"),
        pytest.param("it is 2008 or newer", held(fact("year", "2005-2009")), True, id="years-overlap"),
        pytest.param("it does 15 mph", held(fact("top_speed", 12)), True, id="a-limit-is-not-a-name"),
        pytest.param("you want 72 V", LARK_48, True, id="a-wish-is-not-the-cart"),
        pytest.param("you have a 72 V cart", LARK_48, False, id="but-to-have-is"),
        pytest.param("the engine does not turn over", PETROL, False, id="it-turns"),
        pytest.param("the engine turns over", PETROL, True, id="it-turns-over"),
        pytest.param("the solenoid clicks", PETROL, False, id="it-does-not-click"),
        pytest.param("a cable is hot", LARK_48, True, id="nothing-told-of-it"),
    ],
)
def test_a_branch_stays_or_goes(condition, known, stays):
    assert still_applies(condition, known, read_condition) == stays


def test_a_markdown_answer_comes_apart_into_paragraphs_bullets_and_conditions():
    found = blocks("Look **first**.\nThen on.\n\n- If it is `48 V`: count\n  the caps.\n* Plain bullet.\n1. Numbered.")
    assert [(block.text, block.paragraph, block.bullet, block.condition) for block in found] == [
        ("Look first. Then on.", 0, False, ""),
        ("If it is 48 V: count the caps.", 1, True, "it is 48 V"),
        ("Plain bullet.", 1, True, ""),
        ("Numbered.", 1, True, ""),
    ]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Key off. Then measure.", 2),
        ("It reads 12.7 V. That is full.", 2),
        ("Use a meter, e.g. A cheap one will do.", 1),
        ("Is it hot? Yes! Stop.", 3),
        ("No end", 1),
        ("", 0),
    ],
)
def test_sentences(text, count):
    assert len(sentences(text)) == count and " ".join(sentences(text)) == text

"""What was understood, said back as a sentence: the asker's own facts, hedges kept, nothing put into their mouth."""

from __future__ import annotations

import pytest
from toys import fact, held

from reply.making import book, pack
from triage.model import Standing
from triage.reply.summary import listed, problem_line, said, taken_line, told_line, tried_line, vehicle_line

HEDGED, INFERRED = Standing.HEDGED, Standing.INFERRED
LARK = (fact("make", "Tarvik"), fact("model", "Lark"))


@pytest.mark.parametrize(
    ("facts", "line"),
    [
        pytest.param(
            [fact("year", 2009), *LARK, fact("powertrain", "electric"), fact("pack_voltage", 48),
             fact("symptom", "clicks_no_move")],
            "a 2009 Tarvik Lark, electric, 48 V; it clicks but will not move", id="all-told",
        ),
        pytest.param([fact("make", "Ospren")], "an Ospren", id="article"),
        pytest.param([*LARK, fact("pack_voltage", 48, HEDGED)], "a Tarvik Lark, perhaps 48 V", id="hedged"),
        pytest.param([fact("model", "Lark", HEDGED), fact("year", 2009)], "perhaps a 2009 Lark", id="hedged-name"),
        pytest.param([*LARK, fact("pack_voltage", 48, INFERRED)], "a Tarvik Lark", id="inferred-is-not-said"),
        pytest.param([fact("year", 2009), fact("powertrain", "petrol")], "a 2009 petrol cart", id="no-name"),
        pytest.param([fact("powertrain", "electric")], "an electric cart", id="powertrain-only"),
        pytest.param([fact("pack_voltage", 36)], "a cart, 36 V", id="volts-only"),
        pytest.param(
            [*LARK, fact("battery_count", 6), fact("battery_voltage", 8), fact("battery_chemistry", "agm")],
            "a Tarvik Lark, 6 x 8 V AGM batteries", id="batteries",
        ),
        pytest.param([*LARK, fact("battery_count", 1), fact("battery_chemistry", "lithium")],
                     "a Tarvik Lark, 1 lithium battery", id="one-battery"),
        pytest.param([fact("symptom", "will_not_charge")], "it will not charge", id="symptom-only"),
        pytest.param([fact("symptom", "squeak", condition="when turning")], "it squeaks when turning", id="condition"),
        pytest.param([fact("symptom", "squeak", condition="key on")], "it squeaks", id="no-condition-that-jars"),
        pytest.param([fact("symptom", "clicks_no_move"), fact("symptom", "will_not_move")],
                     "it clicks but will not move", id="not-said-twice"),
        pytest.param([fact("symptom", "squeak"), fact("symptom", "clunk"), fact("symptom", "leaning")],
                     "it squeaks, it clunks underneath and it leans to one side", id="three"),
        pytest.param([fact("symptom", "squeak", Standing.DENIED)], "", id="denied"),
        pytest.param([fact("symptom", "squeak", vehicle=2)], "", id="of-the-second-vehicle"),
        pytest.param([fact("pack_voltage", 48, Standing.PLANNED)], "", id="planned"),
        pytest.param([], "", id="nothing"),
    ],
)  # fmt: skip
def test_what_was_told(facts, line):
    holds = held(*(item for item in facts if item.standing.holds and item.vehicle == 1))
    assert told_line(facts, holds, pack().symptoms, book()) == line


@pytest.mark.parametrize(
    ("facts", "line"),
    [
        pytest.param([*LARK, fact("pack_voltage", 48, INFERRED)], "48 V", id="voltage"),
        pytest.param(
            [*LARK, fact("pack_voltage", 48, INFERRED), fact("battery_chemistry", "flooded", INFERRED)],
            "48 V with flooded lead-acid batteries", id="chemistry-goes-with-it",
        ),
        pytest.param([*LARK, fact("powertrain", "petrol", INFERRED)], "petrol", id="powertrain"),
        pytest.param(
            [fact("powertrain", "electric", INFERRED), fact("pack_voltage", 48)], "", id="volts-tell-the-powertrain",
        ),
        pytest.param([fact("battery_chemistry", "agm", INFERRED)], "", id="chemistry-alone-is-not-worth-it"),
        pytest.param([fact("make", "Ospren", INFERRED), fact("model", "Ridge P", INFERRED)],
                     "an Ospren Ridge P", id="exact-model"),
        pytest.param([*LARK, fact("make", "Tarvik", INFERRED)], "", id="only-the-make"),
        pytest.param([*LARK], "", id="nothing-inferred"),
    ],
)  # fmt: skip
def test_what_was_taken_for_granted(facts, line):
    holds = held(*facts)
    assert taken_line(said(facts, holds), holds, book()) == line


def test_the_plain_model_that_was_said_is_kept_beside_the_exact_one():
    facts = [fact("model", "Ridge"), fact("model", "Ridge P", INFERRED)]
    assert said(facts, held(*facts))["model"].value == "Ridge"


@pytest.mark.parametrize("symptom", sorted(pack().symptoms), ids=str)
def test_every_symptom_of_the_trade_has_its_clause(symptom):
    """A clause that goes on from "we have: ...;", not a label."""
    clause = told_line([fact("symptom", symptom)], {}, pack().symptoms, book())
    assert clause.split()[0] in ("it", "the", "a", "an", "one", "there", "mice")


def test_a_symptom_without_a_clause_is_given_by_its_label():
    from triage.pack.schema import Symptom

    own = Symptom(id="sings", label="sings at night", component="motor", misbehaviour="sings")
    assert told_line([fact("symptom", "sings")], {}, {"sings": own}, book()) == "what you see: sings at night"


def test_work_already_done():
    facts = [fact("work_done", "solenoid replaced"), fact("work_done", "batteries tested", condition="fine")]
    assert tried_line(facts) == "solenoid replaced and batteries tested (fine)"
    assert tried_line([fact("work_done", "solenoid replaced", Standing.PLANNED)]) == ""


@pytest.mark.parametrize(
    ("parts", "text"), [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (list("abc"), "a, b and c")]
)
def test_lists_read_like_speech(parts, text):
    assert listed(parts) == text


def test_the_queues_short_lines():
    facts = [*LARK, fact("pack_voltage", 48, HEDGED), fact("symptom", "squeak", condition="when turning")]
    assert vehicle_line(held(*facts)) == "Tarvik Lark, 48 V (not certain)"
    assert problem_line(facts, pack().symptoms) == "squeaks (when turning)"

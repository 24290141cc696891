"""What stands beside a question: known and missing, causes and checks, the answer line by line, the numbers."""

from __future__ import annotations

from dataclasses import replace

import pytest
from toys import fact

from triage.model import (
    CauseBelief,
    CheckStep,
    Conflict,
    Decision,
    Draft,
    Finding,
    Gap,
    HazardNote,
    Match,
    Reading,
    Sentence,
    Signal,
    Span,
    Standing,
)
from triage.segment.asked import Week
from triage.segment.essentials import essentials_of

from .test_retold import asked

ANSWERED = Reading("q", decision=Decision.ANSWER, matches=(Match("tyre-wheel-nuts-half-inch", 0.9),))
LARK = (fact("make", "Tarvik"), fact("model", "Lark"), fact("powertrain", "electric"))


def beside(reading: Reading, week: Week, **more: object):
    return essentials_of(asked("?", reading=reading, **more), week)


def test_what_was_told_is_known_and_what_was_inferred_is_not_said(week: Week):
    facts = (
        *LARK, fact("year", 2009, Standing.HEDGED), fact("pack_voltage", 48),
        fact("controller_type", "series", Standing.INFERRED), fact("work_done", "solenoid replaced"),
    )  # fmt: skip
    assert beside(replace(ANSWERED, facts=facts), week).known == (
        "2009 Tarvik Lark (not certain)", "electric", "pack voltage: 48 V", "solenoid replaced",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("facts", "gaps", "says"),
    [
        pytest.param((), (), ["not told: electric or petrol - say both"], id="powertrain is always asked"),
        pytest.param(
            LARK,
            (Gap("battery_chemistry", "Which?", 0.2),),
            ["not told: flooded, agm, gel or lithium - say it for each"],
            id="each of a few",
        ),
        pytest.param(LARK, (Gap("year", "What year?", 0.2),), ["not told: year of manufacture"], id="open"),
        pytest.param(
            LARK,
            (Gap("solenoid_click", "Does it click?", 0.3),),
            ["not told: click from under the seat, yes or no - say both"],
            id="yes or no",
        ),
        pytest.param(
            (*LARK, fact("year", 2050)), (Gap("year", "?", 0.2),), ["in doubt: year of manufacture"], id="doubt"
        ),
        pytest.param(LARK, (Gap("year", "What year?", 0.01),), [], id="worth nothing"),
    ],
)
def test_what_is_missing_and_what_to_say_meanwhile(facts, gaps, says, week: Week):
    assert [one.says for one in beside(replace(ANSWERED, facts=facts, gaps=gaps), week).missing] == says


def test_the_answer_has_a_line_for_each_case(week: Week):
    texts = [
        ("These carts have half-inch studs.", 0), ("The thread is fine.", 0), ("If the nut binds: take it off.", 1),
        ("It is the wrong thread.", 1), ("If a stud is broken: stop.", 1), ("Start every nut by hand.", 2),
    ]  # fmt: skip
    aloud = Draft("", tuple(Sentence(text, "answer:a", paragraph) for text, paragraph in texts))
    assert beside(ANSWERED, week, aloud=aloud).answer == (
        "These carts have half-inch studs. The thread is fine.",
        "If the nut binds: take it off. It is the wrong thread.",
        "If a stud is broken: stop.",
        "Start every nut by hand.",
    )


@pytest.mark.parametrize(
    ("sentence", "numbers"),
    [
        ("The usual band is 50 to 85 lb·ft (68 to 115 N·m).", ("The usual band is 50 to 85 lb·ft (68 to 115 N·m)",)),
        ("If it is a Tarvik: 1/2-20, on all alike.", ("1/2-20",)),
        ("Fit 18x8.50-8 tyres.", ("Fit 18x8.50-8 tyres",)),
        ("A 48 V pack has six 8 V batteries.", ()),
        ("Count the turns.", ()),
    ],
)
def test_numbers_to_have_ready(sentence: str, numbers: tuple[str, ...], week: Week):
    written = Draft("", (Sentence(sentence, "answer:a"),))
    assert beside(ANSWERED, week, written=written).numbers == numbers


def test_what_readings_show_comes_first_among_the_numbers(week: Week):
    low = Finding("one_low", (), "the third battery is 1.2 V below the rest")
    written = Draft("", (Sentence("Below 12.2 V it is flat.", "answer:a"),))
    found = beside(replace(ANSWERED, findings=(low,)), week, written=written).numbers
    assert found == ("the third battery is 1.2 V below the rest", "Below 12.2 V it is flat")


def test_without_an_answer_the_checks_bring_their_own_safety(week: Week):
    puzzle = Reading(
        "q",
        decision=Decision.HAND_OVER,
        unsure=True,
        causes=(CauseBelief("loose_battery_connection", 0.5), CauseBelief("charger_failed", 0.05)),
        checks=(CheckStep("connections_heat", "loose_battery_connection", 20.0, "", "Feel them.", ("live_pack",)),),
    )
    found = beside(puzzle, week)
    assert found.answer == ()
    assert found.causes == (week.pack.causes["loose_battery_connection"].label,)
    assert found.checks == ("Feel them.",)
    assert found.safety == (week.pack.hazards["live_pack"].short,)


def test_the_most_severe_safety_line_is_first(week: Week):
    notes = tuple(
        HazardNote(name, signal, "long", name, span=Span(0, 1))
        for name, signal in (("towing", Signal.WARNING), ("acid", Signal.DANGER), ("battery_weight", Signal.CAUTION))
    )
    assert beside(replace(ANSWERED, hazards=notes), week).safety == ("acid", "towing", "battery_weight")


def test_what_does_not_fit_is_said_before_what_is_missing(week: Week):
    odd = Conflict("too_new", ("year",), "A 2011 Lark with 36 V cannot be right.", "What year is it?")
    gaps = (Gap("year", "?", 0.9), Gap("tyre_size", "Which tyres?", 0.3))
    found = beside(replace(ANSWERED, facts=LARK, gaps=gaps, conflicts=(odd,)), week).missing
    assert [(one.says, one.ask) for one in found] == [
        ("A 2011 Lark with 36 V cannot be right.", "What year is it?"), ("not told: tyre size", "Which tyres?"),
    ]  # fmt: skip

"""What must not be said in public, and what is over already."""

from __future__ import annotations

from dataclasses import replace

import pytest

from triage.model import Decision, HazardNote, Reading, Signal, Span
from triage.pack import Pack
from triage.segment.fitness import is_solved, reasons_against, reasons_to_look

from .test_retold import asked

SAFE = Reading("q", decision=Decision.ANSWER)
SMOKE = HazardNote("smoke_heat", Signal.DANGER, "Key off.", urgent=True, span=Span(0, 5))


@pytest.mark.parametrize(
    ("reading", "says"),
    [
        pytest.param(SAFE, "", id="nothing against it"),
        pytest.param(replace(SAFE, hazards=(SMOKE,)), "danger reported (smoke, fire", id="pressing"),
        pytest.param(
            replace(SAFE, hazards=(replace(SMOKE, urgent=False, stop=True),)), "danger reported", id="told, and to stop"
        ),
        pytest.param(replace(SAFE, hazards=(replace(SMOKE, urgent=False, span=None),)), "", id="only of the work"),
        pytest.param(
            Reading("q", decision=Decision.HAND_OVER, reasons=("a legal matter",)), "a legal matter", id="handed over"
        ),
        pytest.param(Reading("q", decision=Decision.HAND_OVER, unsure=True), "", id="only unsure"),
    ],
)
def test_danger_and_hand_over_keep_it_off_the_air(reading: Reading, says: str, pack: Pack):
    reasons = reasons_against(asked("My cart.", reading=reading), pack)
    assert (says in reasons[0]) if says else (reasons == ())


@pytest.mark.parametrize(
    ("note", "held"),
    [
        pytest.param(replace(SMOKE, urgent=False), True, id="told, not surely happening"),
        pytest.param(replace(SMOKE, urgent=False, span=None), False, id="only of the work"),
        pytest.param(replace(SMOKE, hazard="towing", urgent=False), False, id="no reason to stop using it"),
    ],
)
def test_a_grave_danger_told_in_passing_waits_for_a_look(note: HazardNote, held: bool, pack: Pack):
    reasons = reasons_to_look(asked("My cart.", reading=replace(SAFE, hazards=(note,))), pack)
    assert bool(reasons) is held


@pytest.mark.parametrize(
    "words",
    [
        "Please don't read this out on the radio.",
        "Please do not mention my name.",
        "Keep this private please, my husband does not know.",
        "This is between ourselves.",
        "Not for the programme.",
        "please keep me off the show",
        "I tell you this in confidence.",
        "I do not want everyone to know about it",
    ],
)
def test_an_asker_may_keep_a_question_off_the_air(words: str, pack: Pack):
    reasons = reasons_against(asked(f"My Lark clicks. {words}", reading=SAFE), pack)
    assert reasons and reasons[0].startswith("the asker does not want it on air")


@pytest.mark.parametrize(
    "words",
    [
        "I heard your show on the radio and have a question.",
        "I have a radio in my cart, can you mention the fuse it needs?",
        "It will not read the display out in the sun.",
        "You said on the programme that people forget the water.",
        "The cart is used on private land.",
        "Do not use on the road, says the plate.",
        "I keep it on air all night.",
    ],
)
def test_other_talk_of_radio_and_privacy_does_not(words: str, pack: Pack):
    assert reasons_against(asked(words, reading=SAFE), pack) == ()


@pytest.mark.parametrize(
    ("latest", "solved"),
    [
        ("Just to say thank you, she runs like a dream. Nothing more needed.", True),
        ("You may close this.", True),
        ("It is all working again, thanks.", True),
        ("The problem is solved.", True),
        ("It worked again for a day and then the trouble came back.", False),
        ("The problem is not solved.", False),
        ("Is it working now with the new charger?", False),
        ("It clicks but will not move.", False),
    ],
)
def test_what_is_over_is_known_from_the_newest_message(latest: str, solved: bool, pack: Pack):
    assert is_solved(replace(asked("It clicks."), latest=latest), pack) is solved

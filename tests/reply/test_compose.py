"""What must and must not stand in a draft, decision by decision."""

from __future__ import annotations

import re

import pytest
from toys import fact

from reply.making import ANSWER, CONFLICT, KNOWLEDGE, STEPS, draft, gap, material, note, pack
from triage.model import Decision, Finding, Signal, Standing
from triage.reply.compose import first_name, reply_subject

LARK = (fact("year", 2009), fact("make", "Tarvik"), fact("model", "Lark"), fact("powertrain", "electric"))
CLICKS = fact("symptom", "clicks_no_move")
V48 = fact("pack_voltage", 48)
LOW = Finding("battery_low", ("measurement",), "5.1 V against 6.3 V: battery 4 is 1.2 V low", "unit_spread")
SMOKE = note("smoke_heat", Signal.DANGER, urgent=True, stop=True, emergency=True)
STEP_TEXTS = ("heavy cables", "Look at every lug", "count the caps")

# decision, more material, what must stand in it, what must not
DRAFTS = [
    pytest.param(
        Decision.ANSWER, {}, ["Look at the heavy cables first.", "Then measure again.", "leave licensed work"],
        ["Could you", "What is", "Nothing in our notes"], id="answer",
    ),
    pytest.param(
        Decision.ANSWER, {"gaps": (gap("use"),)}, ["heavy cables"], ["What is the use?"], id="answer-asks-nothing",
    ),
    pytest.param(
        Decision.ANSWER, {"findings": (LOW,)}, ["battery 4 is 1.2 V low."], [], id="what-the-readings-show",
    ),
    pytest.param(
        Decision.HAND_OVER, {"findings": (LOW,)}, [], ["1.2 V"], id="a-hand-over-tells-no-findings",
    ),
    pytest.param(
        Decision.HAND_OVER, {"findings": (LOW,), "checks": STEPS, "unsure": True},
        ["one of us at the workshop", "1.2 V", "1. Look at every lug", "leave licensed work"], ["heavy cables"],
        id="unsure-gives-the-first-checks-meanwhile",
    ),
    pytest.param(
        Decision.ANSWER, {"checks": STEPS}, ["heavy cables"], ["every lug"], id="an-answer-has-its-own-steps",
    ),
    pytest.param(
        Decision.ASK, {"gaps": (gap("serial"),)}, ["heavy cables", "What is the serial?", "(Read the plate.)"], [],
        id="ask-with-an-answer",
    ),
    pytest.param(
        Decision.ASK, {"answer": None, "gaps": (gap("serial"),), "checks": STEPS},
        ["What is the serial?", "1. Look at every lug.", "2. Measure the pack"], ["heavy cables"], id="ask-with-checks",
    ),
    pytest.param(
        Decision.ASK, {"answer": None, "gaps": (gap("a", 0.3), gap("b", 0.2), gap("c", 0.1), gap("d", 0.02))},
        ["What is the a?", "What is the b?"], ["What is the c?", "What is the d?"], id="only-what-decides-is-asked",
    ),
    pytest.param(
        Decision.ASK, {"conflicts": (CONFLICT,)}, ["the Lark was made from 1996 to 2018", "Which year is it?"],
        [": The Lark"], id="facts-that-do-not-fit",
    ),
    pytest.param(
        Decision.ASK, {"answer": None}, ["one of us"], ["Send us that", "Just reply"], id="nothing-sure-nothing-to-ask",
    ),
    pytest.param(
        Decision.NO_ANSWER, {}, ["our notes"], [*STEP_TEXTS, "Send us that", "Let us know how you get on"],
        id="no-answer-says-so",
    ),
    pytest.param(
        Decision.NO_ANSWER, {"checks": STEPS, "conflicts": (CONFLICT,), "gaps": (gap("serial"),)},
        ["our notes", "Look at every lug"], ["heavy cables", "What is the serial?", "Which year"],
        id="no-answer-and-checks-meanwhile",
    ),
    pytest.param(
        Decision.HAND_OVER, {"checks": STEPS, "gaps": (gap("serial"),), "hazards": (SMOKE, note("acid"))},
        ["DANGER: Full note on smoke_heat.", "emergency services"],
        [*STEP_TEXTS, "What is the serial?", "acid", "measure"], id="hand-over-gives-no-steps",
    ),
    pytest.param(
        Decision.HAND_OVER, {"hazards": (note("brakes", Signal.DANGER, urgent=True, stop=True),)},
        ["DANGER: Full note on brakes."], ["emergency services"],
        id="nobody-is-sent-away-from-a-weak-brake",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("decision", "more", "stands", "stands_not"), DRAFTS)
def test_what_stands_in_a_draft(decision, more, stands, stands_not):
    body = draft(material(decision, *LARK, V48, CLICKS, **more)).body
    assert [text for text in stands if text not in body] == []
    assert [text for text in stands_not if text in body] == []


@pytest.mark.parametrize("style", ["mail", "chat", "aloud"])
@pytest.mark.parametrize(("decision", "more", "stands", "stands_not"), DRAFTS)
def test_every_sentence_has_a_source_that_exists(decision, more, stands, stands_not, style):
    made = material(decision, *LARK, V48, CLICKS, **more)
    exists = {
        "answer": {ANSWER.id},
        "check": {step.check for step in made.checks},
        "hazard": {item.hazard for item in made.hazards},
        "gap": {item.fact for item in made.gaps},
        "conflict": {item.id for item in made.conflicts},
        "finding": {item.id for item in made.findings},
        "wording": set(pack().wording.phrases),
    }
    for sentence in draft(made, style).sentences:
        kind, _, name = sentence.source.partition(":")
        assert sentence.text and name in exists[kind], sentence


@pytest.mark.parametrize(("decision", "more", "stands", "stands_not"), DRAFTS)
def test_what_only_the_shop_words_is_word_for_word_from_its_files(decision, more, stands, stands_not):
    """No technical sentence of the program's own: each is found in the answer, check, note, gap or phrase it names."""
    made = material(decision, *LARK, V48, CLICKS, **more)
    texts = {
        **{f"answer:{ANSWER.id}": ANSWER.text},
        **{f"check:{step.check}": step.text for step in made.checks},
        **{f"hazard:{item.hazard}": f"{item.note} {item.short}" for item in made.hazards},
        **{f"gap:{item.fact}": f"{item.ask} ({item.find_out})" for item in made.gaps},
    }
    for sentence in draft(made).sentences:
        if sentence.source in texts:
            bare = re.sub(r"^(?:- |\d+\. |[A-Z]+: )", "", sentence.text)
            assert bare in texts[sentence.source]


def test_the_wording_states_no_fact_of_the_trade():
    """Phrases hold no figures: those stand in answers, checks and hazards, each with its source."""
    file = KNOWLEDGE / "trade/wording/phrases.yaml"
    lines = [line for line in file.read_text().splitlines() if not line.startswith(("#", "sees_"))]
    assert [line for line in lines if re.search(r"\d+ ?(?:V|A|mph|psi|%)\b", line)] == []


@pytest.mark.parametrize(
    ("facts", "gone", "kept"),
    [
        pytest.param([V48], ["36 V"], ["48 V cart: count the caps"], id="the-other-voltage-goes"),
        pytest.param([fact("pack_voltage", 48, Standing.HEDGED)], [], ["36 V", "48 V"], id="hedged-keeps-both"),
        pytest.param([], [], ["36 V", "48 V", "does not click", "solenoid clicks"], id="unknown-keeps-all"),
        pytest.param([fact("solenoid_click", "yes")], ["does not click"], ["solenoid clicks"], id="it-clicks"),
        pytest.param([fact("solenoid_click", "no")], ["solenoid clicks"], ["does not click"], id="it-does-not-click"),
        pytest.param([fact("pack_voltage", 36, Standing.DENIED)], [], ["48 V"], id="denied-is-not-known"),
    ],
)
def test_branches_against_what_is_known_are_gone(facts, gone, kept):
    body = draft(material(Decision.ANSWER, *facts)).body.split("first.", 1)[1]
    assert [text for text in gone if text in body] == [] and [text for text in kept if text not in body] == []


@pytest.mark.parametrize("decision", [Decision.ANSWER, Decision.ASK, Decision.HAND_OVER, Decision.NO_ANSWER])
def test_safety_stands_before_any_step(decision):
    made = material(decision, *LARK, checks=STEPS, hazards=(SMOKE, note("live_pack")), gaps=(gap("serial"),))
    sources = [sentence.source.partition(":")[0] for sentence in draft(made).sentences]
    steps = [place for place, source in enumerate(sources) if source in ("answer", "check", "gap")]
    assert max(place for place, source in enumerate(sources) if source == "hazard") < min(steps, default=len(sources))


@pytest.mark.parametrize(
    ("hazards", "lines"),
    [
        pytest.param(["a"], ["WARNING: Full note on a."], id="one-in-full"),
        pytest.param(["a", "b"], ["WARNING: Full note on a.", "WARNING: Full note on b."], id="two-in-full"),
        pytest.param(
            ["a", "b", "c"], ["WARNING: Short a.", "WARNING: Short b.", "WARNING: Short c."], id="three-short"
        ),
        pytest.param(
            ["a", "b", "c", "d"], ["WARNING: Short a.", "WARNING: Short b.", "WARNING: Short c."], id="no-more"
        ),
    ],
)
def test_notes_of_the_work_are_few_and_short(hazards, lines):
    body = draft(material(hazards=tuple(note(name) for name in hazards))).body
    assert [line for line in body.splitlines() if line.startswith("WARNING")] == lines


def test_a_reported_danger_is_in_full_and_first_however_many_notes_follow():
    made = material(hazards=(*(note(name) for name in "abc"), SMOKE))
    lines = [line for line in draft(made).body.splitlines() if line.startswith(("DANGER", "WARNING"))]
    assert lines[0] == "DANGER: Full note on smoke_heat." and len(lines) == 4


def test_no_note_is_given_twice():
    body = draft(material(hazards=(SMOKE, note("acid")))).body
    assert body.count("smoke_heat") == body.count("acid") == 1


def test_at_most_three_questions():
    made = material(
        Decision.ASK, answer=None, gaps=tuple(gap(name) for name in "abcde"), conflicts=(CONFLICT, CONFLICT)
    )
    assert draft(made).body.count("?\n") + draft(made).body.count("?)") + draft(made).body.count("? (") <= 3


@pytest.mark.parametrize(
    ("display", "name"),
    [
        ("Mabel Thorne", "Mabel"),
        ("THORNE, Mabel", "Mabel"),
        ("mabel thorne", "Mabel"),
        ("Jean-Luc Petit", "Jean-Luc"),
        ("Zoë", "Zoë"),
        ("李 Wei", ""),
        ("info", ""),
        ("Green Park Team", ""),
        ("The Office", ""),
        ("Mr Brown", ""),
        ("4x4fan", ""),
        ("x", ""),
        ("", ""),
        ("Mabel\r\nBcc: all@mail.example", "Mabel"),  # one word, on one line
    ],
)
def test_greets_a_person_by_name_and_nobody_else(display, name):
    assert first_name(display) == name


@pytest.mark.parametrize(("asker", "named"), [("Mabel Thorne", True), ("info", False)])
def test_the_greeting(asker, named):
    first = draft(material(), asker=asker).sentences[0]
    assert ("Mabel" in first.text) == named
    assert first.source == ("wording:greeting_named" if named else "wording:greeting_plain")


def test_the_same_question_always_gets_the_same_words():
    assert draft(material()) == draft(material())
    assert len({draft(material(), id=f"q{number}").body for number in range(20)}) > 1


@pytest.mark.parametrize(
    ("subject", "reply"),
    [
        ("Cart clicks", "Re: Cart clicks"),
        ("RE: Cart clicks", "RE: Cart clicks"),
        ("", "Re: your question"),
        ("Cart\r\nBcc: all@mail.example", "Re: Cart Bcc: all@mail.example"),
    ],
)
def test_the_subject(subject, reply):
    assert reply_subject(subject) == reply


def test_an_answer_is_short():
    """An answer of 150 words with three notes: about 260 words in all."""
    text = "Look at it. " * 50
    made = material(Decision.ANSWER, *LARK, V48, CLICKS, answer=_with_text(text), hazards=tuple(map(note, "abc")))
    assert len(draft(made).body.split()) <= 260


def _with_text(text: str):
    from dataclasses import replace

    return replace(ANSWER, text=text)

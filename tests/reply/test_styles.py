"""The same reply as a mail, as a chat message and to be read out; reading ease; the shop's spelling."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from toys import fact

from reply.making import ANSWER, STEPS, draft, gap, material, note, pack, read_condition
from triage.model import Decision, Question, Signal
from triage.reply import compose
from triage.reply.readability import flesch, reading_ease
from triage.reply.voice import lower_after_colon
from triage.reply.wording import Phrasebook, respell

SPOKEN_TEXT = "Charge it.\n\n- If it is a 48 V cart: 50.6 V (at rest) is full.\n- If it is a 36 V cart: 38 V is full."
FACTS = (fact("model", "Lark"), fact("pack_voltage", 48), fact("powertrain", "electric"))


def made(decision: Decision = Decision.ANSWER):
    return material(
        decision, *FACTS, answer=replace(ANSWER, text=SPOKEN_TEXT), gaps=(gap("serial"),),
        hazards=(note("live_pack"), note("acid")),
    )  # fmt: skip


def test_read_out_it_has_no_marks_no_figures_and_no_brackets():
    text = draft(made(Decision.ASK), "aloud").body
    assert not re.search(r"[-•()]\s|\d|(?:^|\n)[A-Z]{4,}:|\bV\b", text)
    assert "fifty point six volts, at rest, is full" in text and "forty-eight volt cart" in text


def test_read_out_it_names_the_asker_at_both_ends_and_asks_one_thing():
    sentences = draft(made(Decision.ASK), "aloud").sentences
    assert sentences[0].source == "wording:aloud_greeting" and "Mabel" in sentences[0].text
    assert sentences[-1].source == "wording:aloud_closing"
    assert [s.source for s in sentences].count("gap:serial") == 1


def test_read_out_without_a_name_it_thanks_a_listener():
    sources = [s.source for s in draft(made(), "aloud", asker="").sentences]
    assert (sources[0], sources[-1]) == ("wording:aloud_greeting_plain", "wording:aloud_closing_plain")


def test_a_chat_message_is_shorter_than_the_mail_and_keeps_every_hazard():
    mail, chat = draft(made(Decision.ASK)), draft(made(Decision.ASK), "chat")
    assert len(chat.body.split()) < len(mail.body.split())
    for style in (mail, chat):
        assert {"hazard:live_pack", "hazard:acid"} <= {s.source for s in style.sentences}
    assert "WARNING: Short live_pack." in chat.body and "(Read the plate.)" not in chat.body


@pytest.mark.parametrize("style", ["mail", "chat", "aloud"])
@pytest.mark.parametrize("decision", list(Decision))
def test_every_style_words_every_decision(decision, style):
    urgent = note("smoke_heat", Signal.DANGER, urgent=True, stop=True)
    hazards = (urgent,) if decision is Decision.HAND_OVER else ()
    body = draft(material(decision, *FACTS, checks=STEPS, hazards=hazards), style).body
    assert body and "{{" not in body and "  " not in body and " ." not in body


@pytest.mark.parametrize(
    ("text", "lowered"),
    [
        ("One thing: The dial says 48.", "One thing: the dial says 48."),
        ("One thing: Tarvik made it in 2008.", "One thing: Tarvik made it in 2008."),
        ("One thing: I wonder.", "One thing: I wonder."),
        ("One thing: 36 V is low.", "One thing: 36 V is low."),
        ("One thing: AGM is sealed.", "One thing: AGM is sealed."),
        ("It does not fit. The dial says 48.", "It does not fit. The dial says 48."),
    ],
)
def test_a_sentence_goes_on_in_lower_case_after_a_colon(text, lowered):
    assert lower_after_colon(text, frozenset({"Tarvik"})) == lowered


def test_reading_ease_of_the_published_formula():
    """Flesch reading ease = 206.835 - 1.015 words/sentence - 84.6 syllables/word.

    120 words in 8 sentences with 168 syllables: 206.835 - 15.225 - 118.44 = 73.17.
    """
    assert flesch(120, 8, 168) == pytest.approx(73.17, abs=0.01)


@pytest.mark.parametrize(
    ("text", "words", "count", "syllables"),
    [
        ("The cart will not go.", 5, 1, 5),
        ("The battery is low. Charge it.", 6, 2, 8),
        ("Check 48 V at the controller.", 5, 1, 7),  # figures are no words; "V" is one
    ],
)
def test_words_sentences_and_syllables_are_counted_by_one_rule(text, words, count, syllables):
    assert reading_ease(text) == pytest.approx(flesch(words, count, syllables), abs=0.051)


def test_a_text_without_words_has_no_reading_ease():
    assert reading_ease("") is None and reading_ease("48, 36.") is None


@pytest.mark.parametrize("decision", list(Decision))
def test_replies_read_easily(decision):
    """60 and more is plain English (Flesch 1948)."""
    assert draft(material(decision, *FACTS, checks=STEPS)).reading_ease > 60


def test_an_american_shop_spells_its_way():
    american = replace(pack(), shop=replace(pack().shop, spelling="american"))
    answer = replace(ANSWER, text="Petrol carts: check tyre pressure and the colour of the vapour. PETROL burns.")
    for own, words in ((american, "Gas carts: check tire pressure and the color of the vapor. GAS burns."),
                       (pack(), answer.text)):  # fmt: skip
        made = compose(
            Question("q", ""), material(Decision.ANSWER, answer=answer), own, Phrasebook(own), read_condition
        )
        assert words in made.body


@pytest.mark.parametrize(
    ("text", "spelled"),
    [("Tyre", "Tire"), ("TYRE", "TIRE"), ("tyres", "tyres"), ("styre", "styre"), ("re-tyre", "re-tyre")],
)
def test_only_whole_words_are_respelled(text, spelled):
    assert respell(text, {"tyre": "tire"}) == spelled


def test_a_missing_phrase_or_variable_names_itself():
    with pytest.raises(KeyError, match="no_such_key"):
        Phrasebook(pack()).say("no_such_key")
    with pytest.raises(KeyError, match="greeting_named"):
        Phrasebook(pack()).say("greeting_named")

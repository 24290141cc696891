"""A question retold: one clean sentence, own words shortened, nothing that tells who somebody is."""

from __future__ import annotations

import pytest

from triage.language.private import Particulars
from triage.model import Match, Reading
from triage.segment.asked import Asked, Week
from triage.segment.retold import MOST_WORDS, own_words, retold, tidy


def asked(text: str, **more: object) -> Asked:
    fields = {"thread": 1, "latest": text, "reading": Reading("q"), "asker": "a@mail.example"}
    return Asked(text=text, **(fields | more))  # type: ignore[arg-type]


WINTER = Reading("q", matches=(Match("battery-winter-storage", 0.8),))


@pytest.mark.parametrize(
    ("one", "sentence"),
    [
        pytest.param(
            asked("wont go", cart="a 2009 Tarvik Lark, electric", trouble="it clicks but will not move"),
            "{who} has a 2009 Tarvik Lark, electric, and it clicks but will not move.",
            id="cart and trouble",
        ),
        pytest.param(
            asked("wont go", trouble="it will not charge"),
            "{who} has a cart we were told little about, and it will not charge.",
            id="trouble alone",
        ),
        pytest.param(
            asked("Hello. can i go from 36 to 48 on my dot?? thanks", cart="a Merrow Dot"),
            "{who} has a Merrow Dot, and asks: “Can I go from 36 to 48 on my dot?”",
            id="own question tidied",
        ),
        pytest.param(
            asked("putting cart away till spring. what now?", reading=WINTER),
            "{who} asks: “How do I store my electric cart over winter with lead-acid batteries?”",
            id="too little by itself: the base's wording",
        ),
        pytest.param(
            asked("Does it fit the other one as well?", reading=WINTER, cart="a Lark"),
            "{who} has a Lark, and asks: “How do I store my electric cart over winter with lead-acid batteries?”",
            id="points at what was said before",
        ),
        pytest.param(asked("help", cart="a Lark"), "{who} has a Lark.", id="nothing asked"),
    ],
)
def test_one_clean_sentence(one: Asked, sentence: str, week: Week):
    assert retold(one, week) == sentence


def test_own_words_end_at_a_sentence_and_keep_what_is_asked():
    story = " ".join(f"This is sentence number {'x' * n} of a long story." for n in range(1, 20))
    shown = own_words(asked(f"{story} Does it charge?"))
    assert shown.endswith("... Does it charge?")
    assert len(shown.split()) <= MOST_WORDS + 5
    assert shown.split(" ...")[0].endswith(".")


def test_particulars_and_form_lines_are_out():
    people = Particulars.of(["Mabel Thorne"])
    text = "Make: Luddon\nRing Mabel Thorne on 555-0134 or write to mabel@mail.example please. Does it charge?"
    shown = own_words(asked(text, people=people))
    assert not {"Mabel", "Thorne", "555-0134", "mabel@mail.example", "Make:"} & set(shown.replace(".", " ").split())
    assert "@" not in shown and "0134" not in shown
    assert shown.endswith("Does it charge?")


@pytest.mark.parametrize(
    ("line", "tidied"),
    [("do i need one???", "Do I need one?"), ("It is 36 V.", "It is 36 V."), ("i.e. this", "I.e. this")],
)
def test_tidy(line: str, tidied: str):
    assert tidy(line) == tidied

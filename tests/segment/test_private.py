"""What tells who somebody is never leaves; what the trade says stays."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.language.private import Particulars, find_particulars, without_particulars
from triage.pack import Pack, load
from triage.particulars import trade_particulars

from .private_sentences import AFTER, AT_LAST, FIRST, LAST, STAYS, STAYS_AFTER

SEEDED = (*FIRST, *AFTER, *LAST, *AT_LAST)
KNOWLEDGE = Path(__file__).parents[2] / "knowledge"


@pytest.fixture(scope="module")
def pack() -> Pack:
    return load(KNOWLEDGE)


@pytest.fixture(scope="module")
def known(pack: Pack) -> Particulars:
    return trade_particulars(pack)


def test_nothing_of_336_seeded_items_is_left(known: Particulars):
    items = [(text, item) for text, listed in SEEDED for item in listed.split("|")]
    assert len(items) >= 200
    left = [(item, text) for text, item in items if item.lower() in without_particulars(text, known).lower()]
    assert left == []


def test_every_seeded_item_stands_in_its_sentence():
    assert [item for text, listed in SEEDED for item in listed.split("|") if item not in text] == []


@pytest.mark.parametrize("text", [*STAYS, *STAYS_AFTER])
def test_what_the_trade_says_stays(text: str, known: Particulars):
    assert without_particulars(text, known) == text


def test_a_vehicle_with_its_year_is_no_address(pack: Pack, known: Particulars):
    told = [f"A reader has a 2008 {one.make} {one.model}, electric, and it is slow." for one in pack.vehicles]
    assert [text for text in told if without_particulars(text, known) != text] == []
    for address in ("2008 Ridge Road", "2008 Park Drive", "1998 Ridge Hill"):
        assert without_particulars(f"It is kept at {address} now.", known) == "It is kept at an address now."


def test_nothing_is_taken_out_of_the_packs_own_texts(pack: Pack, known: Particulars):
    texts = [line for answer in pack.answers for line in (answer.title, answer.question, *answer.text.splitlines())]
    texts += [check.text for check in pack.checks.values()] + [cause.label for cause in pack.causes.values()]
    texts += [hazard.note for hazard in pack.hazards.values()]
    assert len(texts) > 1000
    assert [text for text in texts if without_particulars(text, known) != text] == []


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("Hi Wyn, ring my wife Joan on 555 0123.", "Hi, ring my wife on a number."),
        ("My name is Joan Pike and it is slow.", "My name is someone and it is slow."),
        ("Order no. 44213 came late.", "Order number came late."),
        ("Joan's cart is a 2009 Lark.", "someone's cart is a 2009 Lark."),
        ("Write to joan@pike.example or see www.pike.example.", "Write to a mail address or see a link."),
        ("I am mabel@mail.example. Does it charge?", "I am a mail address. Does it charge?"),
        ("rod@shed.co.uk. can it charge", "a mail address. can it charge"),
        ("bob (at) shed (dot) example. Is it the fuse?", "a mail address. Is it the fuse?"),
        ("JOAN@PIKE.EXAMPLE or joan @ pike . example", "a mail address or a mail address"),
        ("I live at 14 Mill Lane, Harbury, HX3 4TD.", "I live at an address."),
    ],
)
def test_plain_words_stand_in_its_place(text: str, plain: str, known: Particulars):
    assert without_particulars(text, known) == plain


def test_a_name_we_know_is_found_in_any_writing():
    known = Particulars.of(names=["Zebedee Lark"], keep=["Lark"])
    assert without_particulars("zebedee lark here, my Lark clicks", known) == "a reader here, my Lark clicks"


def test_a_serial_number_that_was_read_is_taken_out():
    assert without_particulars("it has k9-77 on it", Particulars.of(numbers=["K9-77"])) == "it has a number on it"


words = st.sampled_from(
    "Hi Wyn Joan Pike my wife ask for ring 555 0142 on order no. 44213 Mill Lane 14 , . the Lark 48 V at thanks \n "
    "cheers - "
    "mail joan@pike.example serial TL09-1140822 Mr is called and".split(" ")
)


@settings(deadline=None)  # a busy machine is no failure
@given(st.lists(words, max_size=25).map(" ".join) | st.text(max_size=120))
def test_doing_it_twice_changes_nothing_more(text: str):
    once = without_particulars(text)
    assert without_particulars(once) == once


@settings(deadline=None)  # a busy machine is no failure
@given(st.lists(words, max_size=25).map(" ".join) | st.text(max_size=120))
def test_finds_are_in_order_and_apart(text: str):
    found = find_particulars(text)
    assert all(0 <= one.start < one.end <= len(text) for one in found)
    assert all(one.end <= two.start for one, two in pairwise(found))

"""The programme's record in the store: plan, wishes, what was said; an aired one is never changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from triage.segment.programme import Depth, Essentials, LeftOut, Missing, Programme, Said, Slot, Spoken, Tip, Wish
from triage.store import Aired, NotFound, Store, Wished

from .conftest import THURSDAY
from .test_choosing import candidate

ESSENTIALS = Essentials(
    known=("48 V",), missing=(Missing("year", "year", "not told: year", "What year?"),), numbers=("50 to 85 lb·ft",)
)
FIRST = candidate(1, asker="Ida", depth=Depth.PUZZLE, aired=(date(2026, 9, 3),), essentials=ESSENTIALS)
PLAN = Programme(
    THURSDAY, 30.0, 4.5,
    (Slot(FIRST, 1, 2.0, True, "you locked it"), Slot(candidate(3), 2, 2.5, False, "there is an answer")),
    (LeftOut(candidate(2), "danger reported"), LeftOut(candidate(4), "worth less", spare=True)),
    "Welcome.", Tip("tip_rings", "Rings off.", "common practice, no source"), "Goodbye.", worth=9.5,
)  # fmt: skip


def test_a_plan_comes_back_as_it_was_kept(store: Store):
    store.programmes.keep(PLAN, by="Wyn")
    assert store.programmes.get(THURSDAY) == PLAN


def test_planning_again_takes_the_place_of_the_plan_and_leaves_the_wishes(store: Store):
    store.programmes.wish(THURSDAY, 3, Wish.LOCK, by="Wyn")
    store.programmes.wish(THURSDAY, 2, Wish.VETO, by="Wyn", why="heard it")
    store.programmes.keep(PLAN, by="Wyn")
    store.programmes.keep(replace(PLAN, slots=PLAN.slots[:1]), by="Wyn")
    assert len(store.programmes.get(THURSDAY).slots) == 1
    assert store.programmes.wishes(THURSDAY) == {3: Wished(Wish.LOCK), 2: Wished(Wish.VETO, "heard it")}


def test_a_wish_can_be_changed_and_taken_back(store: Store):
    store.programmes.wish(THURSDAY, 3, Wish.LOCK, by="Wyn")
    store.programmes.wish(THURSDAY, 3, Wish.VETO, by="Wyn")
    store.programmes.wish(THURSDAY, 2, Wish.LOCK, by="Wyn")
    store.programmes.wish(THURSDAY, 2, None, by="Wyn")
    assert store.programmes.wishes(THURSDAY) == {3: Wished(Wish.VETO)}


def test_a_first_name_is_said_only_after_a_yes(store: Store):
    store.programmes.keep(PLAN, by="Wyn")
    first = lambda: store.programmes.get(THURSDAY).slots[0].candidate  # noqa: E731
    assert first().question == "A reader asks"
    store.programmes.agree(1, True, by="Wyn")
    assert first().question == "Ida asks"
    store.programmes.agree(1, False, by="Wyn")
    assert first().name == "a reader"


def test_the_last_note_on_a_question_counts_and_live_ones_are_all_kept(store: Store):
    store.programmes.keep(PLAN, by="Wyn")
    store.programmes.say(Said(THURSDAY, 1, Spoken.POSTPONED), by="Wyn")
    store.programmes.say(Said(THURSDAY, 0, Spoken.SAID, words="my cart wont go"), by="Wyn")
    store.programmes.say(Said(THURSDAY, 1, Spoken.CHANGED, "use the manual", seconds=95.0), by="Wyn")
    store.programmes.say(Said(THURSDAY, 0, Spoken.ASKED_BACK, words="no click"), by="Wyn")
    notes = store.programmes.said(THURSDAY)
    assert [(note.thread, note.how, note.seconds) for note in notes] == [
        (1, Spoken.CHANGED, 95.0), (0, Spoken.SAID, 0.0), (0, Spoken.ASKED_BACK, 0.0),
    ]  # fmt: skip
    assert notes[0].note == "use the manual"
    assert notes[0].at is not None


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(lambda kept: kept.keep(PLAN, by="Wyn"), id="plan"),
        pytest.param(lambda kept: kept.wish(THURSDAY, 1, Wish.LOCK, by="Wyn"), id="lock"),
        pytest.param(lambda kept: kept.say(Said(THURSDAY, 1, Spoken.SAID), by="Wyn"), id="note"),
        pytest.param(lambda kept: kept.close(THURSDAY, by="Wyn"), id="close"),
    ],
)
def test_what_was_aired_is_never_changed(store: Store, change):
    store.programmes.keep(PLAN, by="Wyn")
    store.programmes.close(THURSDAY, by="Wyn")
    with pytest.raises(Aired, match="2026-11-26 was on air"):
        change(store.programmes)
    assert store.programmes.get(THURSDAY) == replace(PLAN, aired=True)


def test_an_unknown_day_names_the_days_there_are(store: Store):
    store.programmes.keep(PLAN, by="Wyn")
    with pytest.raises(NotFound, match=r"no programme of 2026-12-03\. Days planned: 2026-11-26"):
        store.programmes.get(date(2026, 12, 3))


def test_a_forgotten_asker_is_forgotten_in_every_programme(store: Store):
    store.programmes.keep(PLAN, by="Wyn")
    store.programmes.agree(1, True, by="Wyn")
    store.programmes.wish(THURSDAY, 1, Wish.LOCK, by="Wyn")
    store.programmes.say(Said(THURSDAY, 1, Spoken.SAID, "as Ida said"), by="Wyn")
    store.forget(store.thread(1).asker.email, by="Wyn")
    left = store.programmes.get(THURSDAY)
    assert 1 not in left.threads
    assert not store.programmes.said(THURSDAY)
    assert not store.programmes.agreed()
    assert b"as Ida said" not in store.path.read_bytes()


def test_the_live_page_keeps_its_place(store: Store):
    assert store.programmes.clock(THURSDAY) == ""
    store.programmes.keep(PLAN, by="Wyn")
    store.programmes.keep_clock(THURSDAY, '{"current": 3}', by="Wyn")
    store.programmes.keep(PLAN, by="Wyn")
    assert store.programmes.clock(THURSDAY) == '{"current": 3}'

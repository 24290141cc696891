"""Planning over a real store: three weeks in a row, locks, carry-over, no repeats, nothing private on the sheet."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from triage.pack import Pack
from triage.producer import close, host_rate, next_day, plan, sheet
from triage.segment.programme import Programme, Said, Spoken, Wish
from triage.segment.sheet_text import as_text
from triage.segment.timing import WORDS_PER_MINUTE
from triage.store import Aired, Store
from triage.unusable import Unusable

from .conftest import NOW, POST, THURSDAY

NEXT = THURSDAY + timedelta(days=7)
MINUTES = 7
SMOKE, TYRES, PRIVATE, STORAGE, NUTS = 2, 3, 7, 8, 9  # threads, in the order of the post


def on(programme: Programme) -> list[int]:
    return [slot.candidate.thread for slot in programme.slots]


def why(programme: Programme, thread: int) -> str:
    return next(left.reason for left in programme.left_out if left.candidate.thread == thread)


@pytest.fixture
def first(store: Store, pack: Pack) -> Programme:
    return plan(store, pack, THURSDAY, by="Wyn", minutes=MINUTES)


def test_the_plan_fits_and_every_question_has_a_reason(first: Programme):
    assert first.slots
    assert sum(slot.minutes for slot in first.slots) <= first.minutes - first.reserve
    assert all(slot.reason for slot in first.slots)
    assert all(left.reason for left in first.left_out)
    assert first.threads == set(range(1, len(POST) + 1))
    assert first.tip and first.opening and first.closing


def test_time_that_no_question_fills_is_said(store: Store, pack: Pack, first: Programme):
    assert first.note == ""
    assert "minutes are free" in plan(store, pack, THURSDAY, by="Wyn", minutes=120).note


def test_danger_and_what_the_asker_keeps_private_are_not_on(first: Programme):
    assert "danger reported" in why(first, SMOKE)
    assert "does not want it on air: 'don't read" in why(first, PRIVATE)


def test_one_asker_twice_counts_once_and_two_askers_with_one_matter_count_as_two(first: Programme):
    clicks = [slot.candidate for slot in (*first.slots, *first.left_out) if slot.candidate.thread in (1, 10)]
    assert {one.same for one in clicks} == {2}


def test_locks_and_vetoes_outlive_planning_again(store: Store, pack: Pack, first: Programme):
    out, kept = on(first)[0], next(left.candidate.thread for left in first.left_out if left.spare)
    store.programmes.wish(THURSDAY, out, Wish.VETO, by="Wyn", why="heard it")
    store.programmes.wish(THURSDAY, kept, Wish.LOCK, by="Wyn")
    for _ in range(2):
        again = plan(store, pack, THURSDAY, by="Wyn", minutes=MINUTES)
        assert out not in on(again)
        assert why(again, out) == "you took it out: heard it"
        assert next(slot for slot in again.slots if slot.candidate.thread == kept).reason.startswith("you locked it")


def test_a_lock_on_danger_is_refused_with_the_reason(store: Store, pack: Pack):
    store.programmes.wish(THURSDAY, SMOKE, Wish.LOCK, by="Wyn")
    with pytest.raises(Unusable, match=f"question {SMOKE} must not be on: danger reported"):
        plan(store, pack, THURSDAY, by="Wyn")


def test_nothing_said_is_said_again_and_what_was_not_reached_is_carried_over(
    store: Store, pack: Pack, first: Programme
):
    *reached, missed = on(first)
    for thread in reached:
        store.programmes.say(Said(THURSDAY, thread, Spoken.SAID), by="Wyn")
    close(store, THURSDAY, by="Wyn")
    second = plan(store, pack, NEXT, by="Wyn", minutes=MINUTES)
    topics = {slot.candidate.topic for slot in first.slots if slot.candidate.thread in reached}
    assert not topics & {slot.candidate.topic for slot in second.slots}
    assert "carried over from the last programme" in next(
        slot.reason for slot in second.slots if slot.candidate.thread == missed
    )
    assert second.tip != first.tip
    assert all("said on 2026-11-26" in why(second, thread) for thread in reached)


def test_with_no_note_at_all_everything_was_said(store: Store, pack: Pack, first: Programme):
    close(store, THURSDAY, by="Wyn")
    notes = store.programmes.said(THURSDAY)
    assert {note.thread: note.how for note in notes} == dict.fromkeys(on(first), Spoken.SAID)
    assert not set(on(first)) & set(on(plan(store, pack, NEXT, by="Wyn", minutes=MINUTES)))


def test_an_aired_programme_is_not_planned_again(store: Store, pack: Pack, first: Programme):
    close(store, THURSDAY, by="Wyn")
    with pytest.raises(Aired):
        plan(store, pack, THURSDAY, by="Wyn")
    assert on(store.programmes.get(THURSDAY)) == on(first)


def test_the_day_meant_when_none_is_given(store: Store, pack: Pack):
    today = NOW.date()
    assert next_day(store, today) == today
    plan(store, pack, THURSDAY, by="Wyn", minutes=10)
    assert next_day(store, today) == THURSDAY
    close(store, THURSDAY, by="Wyn")
    assert next_day(store, today) == NEXT
    assert next_day(store, date(2027, 1, 1)) == date(2027, 1, 1)


def test_the_hosts_rate_is_learned_from_what_was_on_air(store: Store, pack: Pack, first: Programme):
    assert host_rate(store, pack) == WORDS_PER_MINUTE
    for slot in first.slots:
        store.programmes.say(
            Said(THURSDAY, slot.candidate.thread, Spoken.SAID, seconds=slot.minutes * 60 * 1.3), by="Wyn"
        )
    assert host_rate(store, pack) == WORDS_PER_MINUTE
    close(store, THURSDAY, by="Wyn")
    assert 80 < host_rate(store, pack) < WORDS_PER_MINUTE


def test_nobody_is_named_on_the_sheet_before_they_agreed(store: Store, pack: Pack, first: Programme):
    named = on(first)[0]
    words = as_text(sheet(store, pack, THURSDAY))
    assert not [who for who, _ in POST if any(part in words for part in who.split())]
    assert "@" not in words and "0171" not in words
    store.programmes.agree(named, True, by="Wyn")
    first_name, surname = POST[named - 1][0].split()
    words = as_text(sheet(store, pack, THURSDAY))
    assert first_name in words and surname not in words

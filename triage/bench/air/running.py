"""The live hour and the store: every press is kept before it is answered."""

from __future__ import annotations

from triage.segment.live import Hour, Press, after, hour_from, hour_to, spent_on
from triage.segment.programme import Programme, Said, Spoken
from triage.store import Store


def hour_of(store: Store, programme: Programme) -> Hour:
    """The state of the hour as it was last kept."""
    return hour_from(store.programmes.clock(programme.day))


def pressed(store: Store, programme: Programme, press: Press, *, by: str) -> Hour:
    """Keep a press: the state of the hour, and what it says of a question. Raises StoreError for one that is over."""
    with store.batch():
        before = hour_of(store, programme)
        now = after(before, press, programme)
        if now != before:
            _say(store, programme, press, now, by)
            store.programmes.keep_clock(programme.day, hour_to(now), by=by)
    return now


def _say(store: Store, programme: Programme, press: Press, hour: Hour, by: str) -> None:
    day = programme.day
    if press.kind == "note" and press.place in hour.notes:
        seconds = round(spent_on(hour, press.place, press.moment), 1)
        noted = hour.notes[press.place]
        store.programmes.say(Said(day, int(press.place), noted.how, noted.text, seconds=seconds), by=by)
    elif press.kind == "ask" and press.text.strip():
        store.programmes.say(Said(day, 0, Spoken.SAID, words=hour.asked[-1]), by=by)

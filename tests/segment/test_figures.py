"""The weeks in figures: counted right, drawn to scale."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.drawing import bar_chart
from triage.segment.figures import Aired, Asked, charts, monday
from triage.segment.programme import Candidate, Programme, Said, Slot, Spoken

TODAY = date(2026, 11, 25)
ASKED = [
    Asked(1, date(2026, 11, 2), "battery", waits_since=date(2026, 11, 2)),
    Asked(2, date(2026, 11, 4), "battery", settled=True),
    Asked(3, date(2026, 11, 17), "tyres", waits_since=date(2026, 11, 24)),
]


def hour(*notes: tuple[int, Spoken]) -> Aired:
    day = date(2026, 11, 19)
    slots = tuple(Slot(Candidate(n, "q"), n, 2.0) for n in (1, 2))
    return Aired(Programme(day, 30, 4, slots, aired=True), tuple(Said(day, n, how) for n, how in notes))


def rows(name: str, **more: object) -> list[str]:
    found = charts(ASKED, more.get("hours", []), TODAY)
    return [bar.value for chart in found if chart.name == name for bar in chart.bars]


def test_weeks_follow_each_other_without_a_gap():
    assert rows("questions") == ["2", "0", "1"]


def test_each_topic_has_its_own_weeks_the_most_asked_first():
    assert rows("topic-1") == ["2", "0", "0"]
    assert rows("topic-2") == ["0", "0", "1"]


def test_the_season_counts_months():
    assert rows("season")[10] == "3"


def test_waiting_counts_only_those_who_wait():
    assert rows("waiting") == ["1", "0", "0", "1", "0"]


def test_an_hour_tells_said_put_off_live_and_settled():
    hours = [hour((1, Spoken.POSTPONED), (2, Spoken.SAID), (0, Spoken.SAID))]
    assert {name: rows(name, hours=hours) for name in ("said", "put-off", "live", "settled")} == {
        "said": ["1"], "put-off": ["1"], "live": ["1"], "settled": ["1"],
    }  # fmt: skip


def test_what_never_happened_has_no_picture():
    found = charts(ASKED, [hour((1, Spoken.SAID))], TODAY)
    assert {"put-off", "live"}.isdisjoint(chart.name for chart in found)


def test_few_are_counted_in_whole_steps():
    chart = bar_chart("x", "X", [("a", 1.0), ("b", 2.0)])
    assert [tick.text for tick in chart.ticks] == ["0", "1", "2", "3", "4", "5"]


def test_nothing_asked_draws_nothing():
    assert charts([], [], TODAY) == ()


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)))
def test_a_week_begins_on_its_monday(day: date):
    assert monday(day).weekday() == 0
    assert timedelta() <= day - monday(day) < timedelta(days=7)


@given(st.lists(st.integers(0, 5000).map(float), min_size=1, max_size=13))
def test_bars_are_to_scale_and_within_the_picture(values: list[float]):
    chart = bar_chart("x", "X", [(f"l{n}", value) for n, value in enumerate(values)])
    top = max(values)
    for bar, value in zip(chart.bars, values, strict=True):
        assert 0 <= bar.y <= chart.floor
        assert bar.x + bar.width <= chart.width
        tallest = max(one.height for one in chart.bars) or 1.0
        assert bar.height / tallest == pytest.approx(value / top if top else 0.0, abs=0.01)


def test_no_rows_is_told():
    with pytest.raises(ValueError, match="no rows"):
        bar_chart("x", "Empty", [])

"""The plot of a worksheet: places, round ticks, words."""

from __future__ import annotations

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st
from physics.test_worksheet import RUNS

from triage.bench.sheets.plot import BOTTOM, LEFT, RIGHT, TOP, plotted
from triage.drawing import round_step
from triage.physics.sheets.record import Curve, Outcome, WorkResult
from triage.physics.worksheet import work

finite = st.floats(-1e6, 1e6, allow_nan=False)


def result(curve: Curve | None, *told: Outcome) -> WorkResult:
    return WorkResult("t", "f", told, (), "s", curve=curve)


def test_a_worksheet_without_a_curve_has_no_plot() -> None:
    assert plotted(result(None)) is None


def test_the_present_result_stands_on_the_curve_and_is_said() -> None:
    drawn = plotted(
        result(
            Curve("tyre diameter, in", "speed, mph", ((10, 10), (20, 20))),
            Outcome("tyre diameter as it rolls", 15, "in"),
        )
    )
    assert drawn.here == ((LEFT + RIGHT) / 2, (TOP + BOTTOM) / 2)
    assert drawn.says == "speed, mph against tyre diameter, in: from 10 at 10 to 20 at 20. This result: 15 at 15."
    assert drawn.rows == (("10", "10"), ("20", "20"))


@pytest.mark.parametrize("x", [9.0, 21.0])
def test_beyond_the_ends_no_place_is_made_up(x: float) -> None:
    assert plotted(result(Curve("x, V", "y", ((10, 1), (20, 2))), Outcome("x", x, "V"))).here is None


@given(st.lists(st.tuples(finite, finite), min_size=2, max_size=40, unique_by=lambda point: round(point[0], 3)))
def test_every_point_and_tick_lies_in_the_frame(points: list[tuple[float, float]]) -> None:
    drawn = plotted(result(Curve("x", "y", tuple(sorted(points)))))
    for pair in drawn.line.split():
        x, y = map(float, pair.split(","))
        assert LEFT - 0.1 <= x <= RIGHT + 0.1
        assert TOP - 0.1 <= y <= BOTTOM + 0.1
    for ticks, low, high in ((drawn.x_ticks, LEFT, RIGHT), (drawn.y_ticks, TOP, BOTTOM)):
        assert 2 <= len(ticks) <= 9
        assert all(low <= tick.at <= high for tick in ticks)


@given(st.floats(1e-6, 1e6))
def test_steps_are_round_and_never_too_small(wanted: float) -> None:
    step = round_step(wanted)
    assert wanted * (1 - 1e-6) <= step <= wanted * 2.5 * (1 + 1e-6)
    assert any(isclose(float(f"{step:e}".partition("e")[0]), digit) for digit in (1, 2, 5))


@pytest.mark.parametrize(("name", "values"), [run[:2] for run in RUNS], ids=[run[0] for run in RUNS])
def test_every_curve_of_the_worksheets_shows_where_this_result_is(name: str, values: dict[str, str]) -> None:
    worked = work(name, values)
    drawn = plotted(worked)
    assert (drawn is None) == (worked.curve is None)
    if drawn:
        assert drawn.here

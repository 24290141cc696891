"""Speed bands on and beside their boundaries, as published."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.physics import rules as r
from triage.physics.limits import OutOfRange

ORDER = list(r.SpeedBand)


@pytest.mark.parametrize(
    ("mph", "band"),
    [
        (0, r.SpeedBand.GOLF_CAR),
        (14.99, r.SpeedBand.GOLF_CAR),  # "Golf car statutes" on ANSI Z130.1: average less than 15 mph
        (15, r.SpeedBand.AT_15),
        (15.01, r.SpeedBand.PERSONAL_TRANSPORT),
        (19.99, r.SpeedBand.PERSONAL_TRANSPORT),  # same page on ANSI Z135: less than 20 mph
        (20, r.SpeedBand.AT_20),
        (20.01, r.SpeedBand.LOW_SPEED),  # 49 CFR 571.3(b): more than 20 and not more than 25 mph
        (25, r.SpeedBand.LOW_SPEED),  # 49 CFR 571.500 S5(a): not more than 25 mph
        (25.01, r.SpeedBand.BEYOND),
    ],
)
def test_bands_and_their_boundaries(mph, band):
    assert r.speed_band(mph) is band


@given(st.floats(0, 100), st.floats(0, 100))
def test_faster_is_never_a_slower_class(one, other):
    low, high = sorted((one, other))
    assert ORDER.index(r.speed_band(low)) <= ORDER.index(r.speed_band(high))


@given(st.floats(0, 100))
def test_no_band_calls_anything_street_legal(mph):
    assert "legal" not in r.speed_band(mph)


def test_low_speed_weight_is_below_3000_lb():
    # 71 FR 20026, effective 2006-06-05; the 2500 lb of August 2005 is superseded
    assert r.low_speed_weight_ok(2600)
    assert r.low_speed_weight_ok(2999.9)
    assert not r.low_speed_weight_ok(3000)


@pytest.mark.parametrize(
    ("payload", "gross", "persons", "exceeded"),
    [
        (1200, 2500, 4, 0),  # the standards body's page on ANSI Z135: at most 1200 lb, 2500 lb, 4 persons
        (1201, 2500, 4, 1),
        (1200, 2501, 4, 1),
        (1200, 2500, 5, 1),
        (1300, 2600, 6, 3),
    ],
)
def test_limits_of_a_personal_transport_vehicle(payload, gross, persons, exceeded):
    assert len(r.personal_transport_excess(payload, gross, persons)) == exceeded


@pytest.mark.parametrize(
    "call",
    [
        lambda: r.speed_band(-1),
        lambda: r.speed_band(float("nan")),
        lambda: r.low_speed_weight_ok(0),
        lambda: r.personal_transport_excess(0, 2000, 4),
        lambda: r.personal_transport_excess(1000, 2000, 0),
    ],
)
def test_outside_the_range_is_refused(call):
    with pytest.raises(OutOfRange, match="allowed"):
        call()

"""Cables, fuses and worn contacts against published gauge tables, listed ampacities and worked examples."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.physics import heat as h
from triage.physics import wiring as w
from triage.physics.limits import OutOfRange, UnreadableCode

# "American Wire Gauge" physics table and "Wire Gauge ... per 1000 feet": gauge, mm, mm2, ohm/1000 ft, mOhm/m at
# 20 C; mOhm/m at 75 C worked out (copper constants from memory); "Wire Ampacity Chart (NEC 310.16)" 60, 75, 90 C;
# chassis current of the physics table.
ROWS = [
    ("10", 2.588, 5.26, 0.9988, 3.277, 3.985, 30, 35, 40, 55),
    ("8", 3.264, 8.37, 0.6282, 2.061, 2.506, 40, 50, 55, 73),
    ("6", 4.115, 13.30, 0.3951, 1.296, 1.576, 55, 65, 75, 101),
    ("4", 5.189, 21.15, 0.2485, 0.8152, 0.9913, 70, 85, 95, 135),
    ("2", 6.544, 33.63, 0.1563, 0.5127, 0.6235, 95, 115, 130, 181),
    ("1/0", 8.251, 53.48, 0.0983, 0.3224, 0.3921, 125, 150, 170, 245),
    ("2/0", 9.266, 67.43, 0.0779, 0.2557, 0.3110, 145, 175, 195, 283),
    ("4/0", 11.684, 107.22, 0.0490, 0.1608, 0.1956, 195, 230, 260, 380),
]
gauges = st.sampled_from(w.GAUGES)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_gauge_table(row):
    gauge, diameter, area, per_1000_ft, cold, hot, at_60, at_75, at_90, chassis = row
    assert w.wire_diameter_mm(gauge) == pytest.approx(diameter, rel=0.001)
    assert w.wire_area_mm2(gauge) == pytest.approx(area, rel=0.001)
    assert w.wire_mohm_per_m(gauge) * 0.3048 == pytest.approx(per_1000_ft, rel=0.005)
    assert w.wire_mohm_per_m(gauge) == pytest.approx(cold, rel=0.005)
    assert w.wire_mohm_per_m(gauge, 75) == pytest.approx(hot, rel=0.005)
    assert [w.ampacity_a(gauge, basis) for basis in ("60", "75", "90", "chassis")] == [
        at_60,
        at_75,
        at_90,
        chassis,
    ]


@pytest.mark.parametrize(
    ("gauge", "volts", "watts", "percent"),
    [  # worked out: 200 A, 3.0 m of copper, 20 C, on 48 V
        ("6", 0.778, 155.5, 1.62),
        ("4", 0.489, 97.8, 1.02),
        ("2", 0.308, 61.5, 0.64),
        ("2/0", 0.153, 30.7, 0.32),
        ("4/0", 0.096, 19.3, 0.20),
    ],
)
def test_worked_drops(gauge, volts, watts, percent):
    drop = w.cable_drop_v(gauge, 3.0, 200)
    assert drop == pytest.approx(volts, rel=0.01)
    assert drop * 200 == pytest.approx(watts, rel=0.01)
    assert 100 * drop / 48 == pytest.approx(percent, rel=0.02)


@pytest.mark.parametrize(
    ("written", "number"),
    [
        ("6", 6),
        ("6 AWG", 6),
        ("awg 6", 6),
        ("1/0", 0),
        ("0", 0),
        ("2/0", -1),
        ("00", -1),
        ("0000", -3),
        ("4/0 AWG", -3),
    ],
)
def test_ways_of_writing_a_gauge(written, number):
    assert w.gauge_number(written) == number


@pytest.mark.parametrize("text", ["", "six", "1/2", "M12", "-4", "/0"])
def test_what_is_no_gauge_says_how_to_write_one(text):
    with pytest.raises(UnreadableCode, match="4/0"):
        w.gauge_number(text)


@given(st.integers(0, 17))
def test_three_steps_halve_the_area_and_six_the_diameter(number):
    # exact ratios 2.005 of the gauge formula
    thick, three, six = str(number), str(number + 3), str(min(number + 6, 20))
    assert w.wire_area_mm2(thick) / w.wire_area_mm2(three) == pytest.approx(2.005, rel=0.001)
    if number <= 14:
        assert w.wire_diameter_mm(thick) / w.wire_diameter_mm(six) == pytest.approx(2.005, rel=0.001)


@given(gauges, st.floats(0.1, 20), st.floats(1, 400), st.floats(1.1, 2))
def test_drop_scales_with_length_and_current(gauge, metres, amps, more):
    base = w.cable_drop_v(gauge, metres, amps)
    assert w.cable_drop_v(gauge, metres * more, amps) == pytest.approx(base * more)
    assert w.cable_drop_v(gauge, metres, amps * more) == pytest.approx(base * more)


@given(gauges, st.floats(-40, 120), st.floats(-40, 120))
def test_warmer_copper_resists_more(gauge, one, other):
    low, high = sorted((one, other))
    assert w.wire_mohm_per_m(gauge, low) <= w.wire_mohm_per_m(gauge, high)


def test_choice_of_the_worked_example():
    # from the worked drops: 200 A over 3.0 m loses 0.489 V in 4 AWG and 0.778 V in 6 AWG
    assert w.choose_gauge(200, 60, 3.0, 0.5) == "4"
    assert w.choose_gauge(200, 60, 3.0, 0.8) == "6"
    assert w.choose_gauge(200, 100, 3.0, 0.8) == "2"  # ampacity decides: 4 AWG is listed for 85 A at 75 C
    assert w.choose_gauge(200, 100, 3.0, 0.8, basis="chassis") == "6"


@given(st.floats(1, 400), st.floats(1, 200), st.floats(0.5, 6), st.floats(0.2, 2))
def test_the_chosen_gauge_fits_and_the_next_thinner_does_not(peak, continuous, metres, drop):
    try:
        chosen = w.choose_gauge(peak, continuous, metres, drop)
    except OutOfRange:
        assert w.cable_drop_v("4/0", metres, peak) > drop
        return

    def fits(gauge):
        return w.cable_drop_v(gauge, metres, peak) <= drop and w.ampacity_a(gauge) >= continuous

    assert fits(chosen)
    assert not any(fits(thinner) for thinner in w.GAUGES[: w.GAUGES.index(chosen)])


def test_no_gauge_fits():
    with pytest.raises(OutOfRange, match="shorten or double"):
        w.choose_gauge(500, 100, 20, 0.1)


def test_fuse_between_load_and_cable():
    # NEC 210.20(A) in "Wire Ampacity Chart (NEC 310.16)": 1.25 x 80 = 100; NEC 240.6(A) lists 100
    fuse = w.choose_fuse(80, 115, 62.0)
    assert fuse.amps == 100
    assert fuse.dc_volts >= 62.0 > 58  # a 58 V fuse is below a 48 V pack's equalise (common practice, no source)
    assert w.choose_fuse(81, 115, 62.0).amps == 110


def test_fuse_sizes_are_the_standard_ones():
    # NEC 240.6(A) in "Section 240.6/Standard Ampere Ratings", up to 350 A
    standard = [
        15,
        20,
        25,
        30,
        35,
        40,
        45,
        50,
        60,
        70,
        80,
        90,
        100,
        110,
        125,
        150,
        175,
        200,
        225,
        250,
        300,
        350,
    ]
    assert sorted({w.choose_fuse(load / 1.25, 400, 60).amps for load in range(1, 351)}) == standard


@given(st.floats(1, 250), st.floats(15, 400))
def test_a_fuse_protects_the_cable_and_carries_the_load(load, ampacity):
    try:
        assert 1.25 * load <= w.choose_fuse(load, ampacity, 60).amps <= ampacity
    except OutOfRange as error:
        assert "usual fuse" in error.allowed


def test_no_fuse_where_the_cable_is_too_thin():
    with pytest.raises(OutOfRange, match=r"112\.5 A up to the cable's 85 A"):
        w.choose_fuse(90, 85, 60)


@pytest.mark.parametrize(
    ("milliohms", "watts", "volts"),
    [(0.2, 8, 0.04), (0.5, 20, 0.1), (1, 40, 0.2), (2, 80, 0.4), (5, 200, 1.0), (10, 400, 2.0)],
)
def test_heat_of_a_contact_at_200_a(milliohms, watts, volts):
    # Joule's law, worked out
    assert h.contact_heat_w(200, milliohms) == pytest.approx(watts)
    assert h.contact_drop_v(200, milliohms) == pytest.approx(volts)
    assert h.contact_milliohms(200, volts) == pytest.approx(milliohms)


@given(st.floats(1, 1000), st.floats(0.01, 100))
def test_twice_the_current_makes_four_times_the_heat(amps, milliohms):
    assert h.contact_heat_w(2 * amps, milliohms) == pytest.approx(4 * h.contact_heat_w(amps, milliohms))


@given(st.floats(1, 1000), st.floats(0.01, 90))
def test_drop_and_resistance_are_inverse(amps, volts):
    milliohms = h.contact_milliohms(amps, volts)
    if milliohms <= 1000:
        assert h.contact_drop_v(amps, milliohms) == pytest.approx(volts)


@pytest.mark.parametrize(
    ("volts", "limit", "worn"), [(0.09, 0.1, False), (0.11, 0.1, True), (0.15, 0.2, False), (0.21, 0.2, True)]
)
def test_a_joint_worth_cleaning(volts, limit, worn):
    # common practice, no source: 0.1 V across a joint, 0.2 V along a cable, at 100 to 200 A
    assert h.joint_needs_work(volts, 150, limit) is worn


@pytest.mark.parametrize(
    "call",
    [
        lambda: w.gauge_number("40"),
        lambda: w.gauge_number("6/0"),
        lambda: w.wire_mohm_per_m("6", 200),
        lambda: w.wire_area_mm2("25"),
        lambda: w.wire_diameter_mm("25"),
        lambda: w.ampacity_a("7"),
        lambda: w.ampacity_a("6", "105"),
        lambda: w.cable_drop_v("6", -1, 100),
        lambda: w.cable_drop_v("6", 3, 2000),
        lambda: w.choose_gauge(100, 500, 3, 0.5),
        lambda: w.choose_gauge(100, 50, 3, 0),
        lambda: w.choose_fuse(0, 100, 60),
        lambda: w.choose_fuse(50, 100, 300),
        lambda: h.contact_heat_w(-1, 1),
        lambda: h.contact_drop_v(100, 2000),
        lambda: h.contact_milliohms(0, 1),
        lambda: h.joint_needs_work(0.1, 20),
    ],
)
def test_outside_the_range_is_refused(call):
    with pytest.raises(OutOfRange, match="allowed"):
        call()

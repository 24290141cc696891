"""The edges of each stated range: the edge itself is allowed, a step beyond is not."""

import pytest

from triage.physics import batteries as b
from triage.physics import charging as c
from triage.physics import controls as k
from triage.physics import drivetrain as d
from triage.physics import heat as h
from triage.physics import pack as p
from triage.physics import rules as r
from triage.physics import runtime as t
from triage.physics import threads as s
from triage.physics import tyres as y
from triage.physics import ventilation as v
from triage.physics import wiring as w
from triage.physics.limits import OutOfRange

THREAD = s.Thread(12.0, 1.25)
EDGES = [
    ("rest voltage", lambda x: b.soc_from_rest_voltage(x, 6), 10.5, 13.2),
    ("cells", lambda x: b.rest_voltage_at_soc(50, x), 1, 48),
    ("cells to read", lambda x: b.soc_from_rest_voltage(2.0 * x, x), 1, 48),
    ("state of charge", lambda x: b.rest_voltage_at_soc(x, 6), 0, 100),
    ("gravity at state of charge", b.gravity_at_soc, 0, 100),
    ("meter error", lambda x: b.soc_error_from_meter(x, 6), 0, 0.6),
    ("shift", lambda x: b.rest_voltage_shift_v(x, 6), -20, 50),
    ("shifted cells", lambda x: b.rest_voltage_shift_v(25, x), 1, 48),
    ("metered cells", lambda x: b.soc_error_from_meter(0.01, x), 1, 48),
    ("hydrometer", lambda x: b.corrected_gravity(x, 25), 1.0, 1.35),
    ("electrolyte", lambda x: b.corrected_gravity(1.25, x), -17.8, 71.2),
    ("gravity", b.soc_from_gravity, 1.0, 1.3),
    ("gravity, two tables", b.soc_range_from_gravity, 1.0, 1.3),
    ("full gravity", b.is_full_gravity, 1.0, 1.3),
    ("freezing", b.freezing_point_c, 1.0, 1.3),
    ("gravity spread", lambda x: b.gravity_spread_verdict(x, False), 0, 0.3),
    ("voltage spread", lambda x: b.voltage_spread_verdict(x, 3, False), 0, 6.6),
    ("spread cells", lambda x: b.voltage_spread_verdict(0.1, x, False), 1, 6),
    ("nominal", lambda x: p.cells_in(x), 2, 96),
    ("units", lambda x: p.pack_voltage(x, 6), 1, 48),
    ("unit voltage", lambda x: p.pack_voltage(1, x), 2, 96),
    ("strings", lambda x: p.pack_capacity_ah(100, x), 1, 12),
    ("layouts", p.layouts_for, 6, 96),
    ("count", p.packs_from_count, 1, 48),
    ("lithium", p.lithium_cells, 3.2, 102.4),
    ("lithium cells", p.lithium_window, 1, 32),
    ("lead-acid on charge", lambda x: c.charge_voltage_v("gel", 6, x), -20, 49),
    ("lithium on charge", lambda x: c.charge_voltage_v("lithium", 16, x), 0, 45),
    ("charged cells", lambda x: c.charge_voltage_v("gel", x), 1, 48),
    ("factor", lambda x: c.charge_hours(50, 20, x), 1.0, 1.3),
    ("gassing cells", c.gassing_band_v, 1, 48),
    ("gas temperature", v.hydrogen_l_per_ah, -20, 60),
    ("gas pressure", lambda x: v.hydrogen_l_per_ah(25, x), 60, 110),
    ("gas cells", lambda x: v.hydrogen_l_per_h(x, 10), 1, 48),
    ("gas current", lambda x: v.hydrogen_l_per_h(24, x), 0, 500),
    ("overcharge", lambda x: v.water_lost_g(1, x), 0, 1000),
    ("watered cells", lambda x: v.water_lost_g(x, 1), 1, 48),
    ("hydrogen", v.air_needed_m3_per_h, 0, 1e5),
    ("fraction", lambda x: v.air_needed_m3_per_h(100, x), 0.001, 0.04),
    ("fraction of a room", lambda x: v.hours_to_fraction(40, 100, x), 0.001, 0.04),
    ("ventilated cells", lambda x: v.ventilation_m3_per_h(x, 6, 225), 1, 48),
    ("gas per 100 Ah", lambda x: v.ventilation_m3_per_h(24, x, 225), 0.1, 10),
    ("air", v.vent_opening_cm2, 0, 1000),
    ("hour rate", lambda x: t.peukert_hours(100, x, 1.2, 50), 1, 100),
    ("exponent", lambda x: t.peukert_hours(100, 20, x, 50), 1.0, 2.0),
    ("discharge current", lambda x: t.peukert_hours(100, 20, 1.2, x), 1, 300),
    ("depth", lambda x: t.usable_ah(100, x), 0.05, 0.8),
    ("depth of a range", lambda x: t.range_miles(2, 12, x), 0.05, 0.8),
    ("speed of a range", lambda x: t.range_miles(2, x), 0, 40),
    ("rpm", lambda x: d.speed_mph(x, 12, 18), 0, 12000),
    ("gear", lambda x: d.speed_mph(3000, x, 18), 1, 40),
    ("tyre", lambda x: d.speed_mph(3000, 12, x), 8, 40),
    ("speed", lambda x: d.motor_rpm(x, 12, 18), 0, 60),
    ("rolling", lambda x: d.rolling_diameter_in(18, x), 0.94, 1.0),
    ("tyre change", lambda x: d.change(tyre=x), 0.4, 2.5),
    ("grade", lambda x: d.grade_force_n(500, x), -40, 40),
    ("coefficient", lambda x: d.grade_force_n(500, 10, x), 0.005, 0.15),
    ("road speed", lambda x: d.road_power_w(500, x), 0, 60),
    ("power", lambda x: d.pack_current_a(x, 48), 0, 1e5),
    ("pack", lambda x: d.pack_current_a(1000, x), 6, 120),
    ("efficiency", lambda x: d.pack_current_a(1000, 48, x), 0.3, 1.0),
    ("pack current", d.motor_current_a, 0, 2000),
    ("duty", lambda x: d.motor_current_a(100, x), 0.05, 1.0),
    ("axle tyre", lambda x: d.axle_torque_nm(500, x), 8, 40),
    ("axle torque", lambda x: d.motor_torque_nm(x, 12), 0, 1e4),
    ("axle gear", lambda x: d.motor_torque_nm(100, x), 1, 40),
    ("gear efficiency", lambda x: d.motor_torque_nm(100, 12, x), 0.5, 1.0),
    ("roll-out", y.roll_out_in, 8, 40),
    ("copper temperature", lambda x: w.wire_mohm_per_m("6", x), -40, 120),
    ("copper length", lambda x: w.cable_drop_v("6", x, 100), 0, 50),
    ("cable current", lambda x: w.cable_drop_v("6", 3, x), 0, 1000),
    ("charging voltage", lambda x: w.choose_fuse(50, 100, x), 6, 120),
    ("continuous current", lambda x: w.choose_gauge(100, x, 1, 5), 0, 230),
    ("contact current", lambda x: h.contact_drop_v(x, 1), 0, 2000),
    ("contact resistance", lambda x: h.contact_drop_v(100, x), 0, 1000),
    ("contact voltage", lambda x: h.contact_milliohms(100, x), 0, 100),
    ("joint current", lambda x: h.joint_needs_work(0.1, x), 100, 200),
    ("joint voltage", lambda x: h.joint_needs_work(x, 150), 0, 100),
    ("coil voltage", lambda x: k.coil_current_a(x, 100), 6, 120),
    ("precharge fraction", lambda x: k.precharge_time_s(250, 1e4, x), 0, 0.999),
    ("precharge voltage", lambda x: k.precharge_peak_a(x, 250), 6, 120),
    ("stored voltage", lambda x: k.stored_energy_j(1e4, x), 0, 150),
    ("top speed", r.speed_band, 0, 100),
    ("persons", lambda x: r.personal_transport_excess(1, 1, x), 1, 20),
    ("turns", lambda x: s.pitch_error_mm(THREAD, THREAD, x), 0, 40),
    ("engagement", lambda x: s.engagement_turns(THREAD, x), 0, 60),
]


@pytest.mark.parametrize(("call", "low", "high"), [edge[1:] for edge in EDGES], ids=[edge[0] for edge in EDGES])
def test_the_edge_is_allowed_and_beyond_is_not(call, low, high):
    step = (high - low) / 1000 if isinstance(low, float) or high - low > 200 else 0.01 * (high - low)
    for edge, beyond in ((low, low - step), (high, high + step)):
        call(edge)
        with pytest.raises(OutOfRange):
            call(beyond)


ABOVE_ZERO = [
    ("capacity", p.pack_capacity_ah),
    ("energy volts", lambda x: p.pack_energy_wh(x, 100)),
    ("energy capacity", lambda x: p.pack_energy_wh(48, x)),
    ("current limit", lambda x: c.charge_current_limit_a("gel", x)),
    ("charge removed", lambda x: c.charge_hours(x, 20)),
    ("charger", lambda x: c.charge_hours(50, x)),
    ("room", lambda x: v.hours_to_fraction(x, 100)),
    ("gas", lambda x: v.hours_to_fraction(40, x)),
    ("ventilated capacity", lambda x: v.ventilation_m3_per_h(24, 6, x)),
    ("usable", t.usable_ah),
    ("hours", lambda x: t.range_miles(x, 12)),
    ("free diameter", d.rolling_diameter_in),
    ("mass", lambda x: d.grade_force_n(x, 10)),
    ("fuse load", lambda x: w.choose_fuse(x, 100, 60)),
    ("contact current", lambda x: h.contact_milliohms(x, 1)),
    ("joint limit", lambda x: h.joint_needs_work(0.1, 150, x)),
    ("coil", lambda x: k.coil_current_a(48, x)),
    ("resistor", lambda x: k.precharge_tau_s(x, 1e4)),
    ("capacitance", lambda x: k.precharge_tau_s(250, x)),
    ("precharge", lambda x: k.precharge_peak_a(48, x)),
    ("stored", lambda x: k.stored_energy_j(x, 48)),
    ("gross weight", r.low_speed_weight_ok),
    ("payload", lambda x: r.personal_transport_excess(x, 1, 1)),
]


@pytest.mark.parametrize("call", [edge[1] for edge in ABOVE_ZERO], ids=[edge[0] for edge in ABOVE_ZERO])
def test_more_than_nothing_is_allowed_and_nothing_is_not(call):
    call(0.5)
    with pytest.raises(OutOfRange, match="more than 0"):
        call(0)


@pytest.mark.parametrize("code", ["12x4-8", "33x16-20", "12x8-10", "205/20-14", "180/100-12"])
def test_the_outermost_tyres_are_read(code):
    assert y.parse_tyre(code).sidewall_in >= 1


@pytest.mark.parametrize(
    "code", ["11.9x4-8", "33.1x16-20", "18x3.9-8", "18x16.1-8", "18x8-3.9", "25x8-20.1", "12x8-10.1"]
)
def test_tyres_beyond_are_refused(code):
    with pytest.raises(OutOfRange):
        y.parse_tyre(code)


@pytest.mark.parametrize("code", ["M5x0.5", "M25x2", "M12x3", "M12x0.6"])
def test_the_outermost_threads_are_read(code):
    assert s.parse_thread(code)


@pytest.mark.parametrize("code", ["M4.9x0.5", "M25.1x2", "M12x3.1", "M12x0.59"])
def test_threads_beyond_are_refused(code):
    with pytest.raises(OutOfRange):
        s.parse_thread(code)

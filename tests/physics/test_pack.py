"""Pack arithmetic: exact by definition, lithium by its published cell voltages."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.physics import pack as p
from triage.physics.limits import OutOfRange


@pytest.mark.parametrize(("volts", "cells"), [(6, 3), (8, 4), (12, 6), (36, 18), (48, 24), (72, 36)])
def test_cells_of_units_and_packs(volts, cells):
    assert p.cells_in(volts) == cells  # heads of the table in "State Of Charge - SOC Measurement"


@pytest.mark.parametrize(("volts", "caps"), [(6, 3), (8, 4), (12, 6)])
def test_filler_caps_tell_the_unit(volts, caps):
    assert p.caps_per_unit(volts) == caps
    assert p.unit_voltage_from_caps(caps) == volts


@pytest.mark.parametrize(
    ("count", "unit_v", "unit_ah", "strings", "volts", "ah", "wh"),
    [  # worked out by definition
        (6, 6, 225, 1, 36, 225, 8100),
        (6, 8, 170, 1, 48, 170, 8160),
        (4, 12, 150, 1, 48, 150, 7200),
        (8, 12, 100, 2, 48, 200, 9600),
    ],
)
def test_series_adds_volts_and_parallel_adds_amp_hours(count, unit_v, unit_ah, strings, volts, ah, wh):
    assert p.pack_voltage(count, unit_v, strings) == volts
    assert p.pack_capacity_ah(unit_ah, strings) == ah
    assert p.pack_energy_wh(volts, ah) == wh


@given(st.integers(1, 12), st.sampled_from([6, 8, 12]), st.floats(1, 500), st.integers(1, 4))
def test_energy_is_the_same_however_units_are_wired(per_string, unit_v, unit_ah, strings):
    count = per_string * strings
    energy = p.pack_energy_wh(p.pack_voltage(count, unit_v, strings), p.pack_capacity_ah(unit_ah, strings))
    assert energy == pytest.approx(count * unit_v * unit_ah)


@pytest.mark.parametrize(
    ("volts", "layouts"),
    [
        (36, [(6, 6), (3, 12)]),  # 4.5 units of 8 V are no layout
        (48, [(8, 6), (6, 8), (4, 12)]),
        (72, [(12, 6), (9, 8), (6, 12)]),
        (50, []),
    ],
)
def test_layouts_that_make_a_pack(volts, layouts):
    assert [(layout.count, layout.unit_v) for layout in p.layouts_for(volts)] == layouts


@pytest.mark.parametrize(
    ("count", "packs"), [(6, [36, 48, 72]), (4, [48]), (8, [48]), (12, [72]), (3, [36]), (5, []), (9, [72])]
)
def test_a_count_alone_can_mean_several_packs(count, packs):
    assert [layout.count * layout.unit_v for layout in p.packs_from_count(count)] == packs


@given(st.sampled_from([36, 48, 72]))
def test_each_layout_of_a_pack_is_among_the_packs_of_its_count(volts):
    for layout in p.layouts_for(volts):
        assert layout in p.packs_from_count(layout.count)
        assert p.pack_voltage(layout.count, layout.unit_v) == volts


@pytest.mark.parametrize(("nominal", "cells"), [(12.8, 4), (25.6, 8), (51.2, 16), (76.8, 24), (3.2, 1)])
def test_lithium_cells(nominal, cells):
    # "Do you know the lithium batteries": 4s 12.8, 8s 25.6, 16s 51.2
    assert p.lithium_cells(nominal) == cells


def test_lithium_window_of_sixteen_cells():
    # state-of-charge chart page: 3.65 and 2.5 V; everyday floor 2.8 V common practice, no source
    window = p.lithium_window(16)
    assert window.full_v == pytest.approx(58.4)
    assert window.empty_v == pytest.approx(40.0)
    assert window.everyday_floor_v == pytest.approx(44.8)
    assert window.nominal_v == pytest.approx(51.2)


@given(st.integers(1, 32))
def test_lithium_nominal_and_cells_are_inverse(cells):
    if cells != 15:
        assert p.lithium_cells(p.lithium_window(cells).nominal_v) == cells


@pytest.mark.parametrize("nominal", [48, 36, 72, 50])
def test_a_lithium_class_is_not_a_plate(nominal):
    with pytest.raises(OutOfRange, match="plate"):
        p.lithium_cells(nominal)


@pytest.mark.parametrize(
    "call",
    [
        lambda: p.cells_in(7),
        lambda: p.cells_in(0),
        lambda: p.caps_per_unit(36),
        lambda: p.unit_voltage_from_caps(5),
        lambda: p.pack_voltage(7, 6, 2),
        lambda: p.pack_voltage(0, 6),
        lambda: p.pack_capacity_ah(0),
        lambda: p.pack_energy_wh(48, -1),
        lambda: p.layouts_for(480),
        lambda: p.packs_from_count(0),
        lambda: p.lithium_window(0),
    ],
)
def test_outside_the_range_is_refused(call):
    with pytest.raises(OutOfRange, match="allowed"):
        call()

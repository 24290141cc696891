"""The same value in another spelling is the same; another figure is not."""

from __future__ import annotations

import pytest

from eval.pairing import pair, pair_names
from eval.values import figures, same_value


@pytest.mark.parametrize(
    ("name", "one", "other", "same"),
    [
        ("pack_voltage", 48, 48.0, True),
        ("pack_voltage", 48, "48", True),
        ("pack_voltage", 48, 48.2, False),
        ("year", 2005, 2006, False),
        ("year", "2005-2006", "2005–2006", True),
        ("year", 2005, "2005-2006", False),
        ("make", "Tarvik", "TARVIK", True),
        ("model", "Ridge P", "ridge-p", True),
        ("model", "Ridge P", "Ridge", False),
        ("model", "Omni 6", "Omni 8", False),
        ("tyre_size", "18x8.5-8", "18x8.50-8", True),
        ("tyre_size", "18 X 8.50 - 8", "18x8.50-8", True),
        ("tyre_size", "205/50-10", "205/50R10", True),
        ("tyre_size", "205/50-10", "205/65-10", False),
        ("tyre_size", "22x11-10", 22, False),
        ("tyre_size", 22, "22", True),
        ("lift", 3.9, 3.937, True),  # 100 mm
        ("lift", 3, 4, False),
        ("top_speed", 18.6, 18.64, True),  # 30 km/h
        ("battery_chemistry", "AGM", "agm", True),
    ],
)
def test_same_value(name: str, one: object, other: object, same: bool) -> None:
    assert same_value(name, one, other) is same
    assert same_value(name, other, one) is same


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [
        (50.1, "Volts", [(50.1, "v")]),
        (5, "kohm", [(5000.0, "ohm")]),
        ((6.2, 6.3), "V", [(6.2, "v"), (6.3, "v")]),
        ("8.4-8.5", "V", [(8.4, "v"), (8.5, "v")]),
        (-5, "deg C", [(-5.0, "c")]),
        ("a while", "", []),
    ],
)
def test_figures(value: object, unit: str, expected: list[tuple[float, str]]) -> None:
    assert figures(value, unit) == expected


def test_pairs_take_the_likest_first_and_each_once() -> None:
    paired = pair([1, 5], [4, 2, 9], lambda a, b: -abs(a - b), -1.0)
    assert paired.pairs == ((1, 2), (5, 4))
    assert paired.false == (9,)
    assert paired.missed == ()


def test_a_name_told_twice_counts_once() -> None:
    assert pair_names(["slow", "slow"], ["slow", "clunk"]).counts == pair_names(["slow"], ["clunk", "slow"]).counts

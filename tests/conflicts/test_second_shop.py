"""Another shop's catalogue, brought in from spreadsheets: the same rules, no code changed."""

from __future__ import annotations

import pytest

from tests.conflicts.conftest import Read


@pytest.mark.parametrize(
    ("text", "conflict"),
    [
        ("2010 Sorrel, no charge", "year_outside_production"),
        ("2005 Bracken, 36 volt", "year_with_pack_voltage"),
        ("My electric Furlong has a mechanical lever", "powertrain_with_direction_switch"),
        ("Brindlow Bracken, slow", "make_against_model"),
        ("M12x1.25 nuts on my Bracken", "stud_against_model"),
        ("2012 Ferry, 48 volt", "voltage_against_model"),
        ("2020 Sorrel Li, flooded batteries", "battery_chemistry_against_model"),
        ("2015 Yoke does 31 mph", "speed_beyond_stock"),
    ],
)
def test_names_what_does_not_fit(second_conflicts_in: Read, text: str, conflict: str) -> None:
    assert conflict in [found.id for found in second_conflicts_in(text)]


@pytest.mark.parametrize(
    "text",
    [
        "2015 Sorrel, no charge",
        "2001 Bracken, 36 volt, lever between my knees",
        "2010 Bracken, 48 volt, inductive throttle",
        "2010 gas Furlong with the lever",
        "My Furlong has a mechanical lever",  # then it is the petrol one
        "Pellmoor Bracken, slow",
        "1/2-20 nuts on my Bracken",
        "2012 Ferry, 72 volt, nine 8 volt batteries",
        "2023 Sorrel Li, lithium charger",
        "2015 Yoke does 18 mph",
        "2004 Nettle, three 12 volt batteries",
    ],
)
def test_is_calm_where_all_fits(second_conflicts_in: Read, text: str) -> None:
    assert [found.says for found in second_conflicts_in(text)] == []

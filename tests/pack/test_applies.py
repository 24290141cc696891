"""An answer is for a vehicle unless something known of the vehicle speaks against it."""

from __future__ import annotations

from typing import Any

import pytest

from triage.pack import applies
from triage.pack.schema import AppliesTo, Vehicle

LARK = Vehicle("lark", "Tarvik", "Lark", "electric", ["bird"], 2008, 2018, 48, "6x8", "flooded")
BARE = Vehicle("bare", "Tarvik", "Bare", "electric")


@pytest.mark.parametrize(
    ("vehicle", "to", "fits"),
    [
        (LARK, {}, True),
        (LARK, {"powertrain": "electric"}, True),
        (LARK, {"powertrain": "petrol"}, False),
        (LARK, {"makes": ["TARVIK"]}, True),
        (LARK, {"makes": ["Ospren"]}, False),
        (LARK, {"models": ["Bird"]}, True),
        (LARK, {"models": ["Wren"]}, False),
        (LARK, {"voltages": [36, 48]}, True),
        (LARK, {"voltages": [36]}, False),
        (LARK, {"chemistries": ["lithium"]}, False),
        (LARK, {"controllers": ["modified"]}, True),
        (LARK, {"year_from": 2018}, True),
        (LARK, {"year_from": 2019}, False),
        (LARK, {"year_to": 2008}, True),
        (LARK, {"year_to": 2007}, False),
        (BARE, {"voltages": [36], "chemistries": ["gel"], "year_from": 2050, "year_to": 2050}, True),
    ],
)
def test_applies(vehicle: Vehicle, to: dict[str, Any], fits: bool) -> None:
    assert applies(AppliesTo(**to), vehicle) is fits

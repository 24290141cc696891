"""Numbers and units against an open set of recogniser cases (Recognizers-Text specifications, MIT licence).

Read from the folder that TRIAGE_OPEN_DATA names, else ../shared/open; skipped when it is not there. Only the cases
within our scope are counted: whole and decimal English figures and number words up to a million (no fractions of
odd parts, no powers), and the units that the pack knows.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from math import isclose
from pathlib import Path
from typing import Any

import pytest

from triage.language import Language

FOLDER = Path(os.environ.get("TRIAGE_OPEN_DATA", "../shared/open")) / "spec_numbers_units_dates"
UNITS = {
    "Inch": "in", "Foot": "ft", "Meter": "m", "Centimeter": "cm", "Millimeter": "mm", "Mile": "mile",
    "Kilometer": "km", "Mile per hour": "mph", "Kilometer per hour": "km/h", "Pound": "lb", "Kilogram": "kg",
    "Ounce": "oz", "Gallon": "gallon", "Liter": "litre", "C": "degC", "F": "degF", "Degree": "deg",
}  # fmt: skip
LARGEST = 1e6
pytestmark = pytest.mark.skipif(not FOLDER.is_dir(), reason=f"no open data at {FOLDER}")


def cases(name: str) -> Iterator[tuple[str, list[tuple[float, str]]]]:
    """Text and expected (value, unit) of each case in scope; the unit is "" for bare numbers."""
    for record in json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8-sig")):
        wanted = [_wanted(result) for result in record["Results"]]
        if wanted and None not in wanted:
            yield record["Input"], [item for item in wanted if item]


def _wanted(result: dict[str, Any]) -> tuple[float, str] | None:
    """Value and unit of one result; None when it is out of scope (powers, fractions, other units)."""
    resolution = result.get("Resolution") or {}
    unit = resolution.get("unit", "")
    try:
        value = float(resolution.get("value") or "none")
    except ValueError:
        return None
    in_scope = (
        resolution.get("subtype") not in ("power", "fraction") and 0 <= value <= LARGEST and (not unit or unit in UNITS)
    )
    return (value, UNITS.get(unit, "")) if in_scope else None


def share_read(language: Language, name: str) -> tuple[int, int]:
    """(right, all): a case is right when every expected number is among those read, with its unit."""
    right = total = 0
    for text, wanted in cases(name):
        found = [(q.value, q.unit) for q in language.annotate(text).quantities]
        total += 1
        right += all(
            any(isclose(v, value, rel_tol=1e-6) and (not u or u == unit) for v, unit in found) for value, u in wanted
        )
    return right, total


@pytest.mark.parametrize(
    ("name", "least"),
    [("Number_NumberModel", 0.65), ("NumberWithUnit_DimensionModel", 0.7), ("NumberWithUnit_TemperatureModel", 0.95)],
)
def test_share_of_open_cases(language: Language, name: str, least: float) -> None:
    right, total = share_read(language, name)
    print(f"{name}: {right} of {total} within scope, {right / total:.3f}")
    assert total > 20
    assert right / total >= least

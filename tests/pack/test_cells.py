"""What people write into spreadsheet cells, and what it means."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.pack import cells
from triage.pack.cells import BadCell
from triage.pack.columns import ANSWER_COLUMNS, VEHICLE_COLUMNS, Column, find_column


@pytest.mark.parametrize(
    ("read", "cell", "value"),
    [
        *((cells.powertrain, cell, "petrol") for cell in ("gas", "Petrol", "GASOLINE", "petrol (carburettor, 2WD)")),
        *((cells.powertrain, cell, "electric") for cell in ("electric", "EV", "Electric (utility)", "battery")),
        *((cells.powertrain, cell, None) for cell in ("", "both", "any", "all", "gas/electric", "n/a", "EV or gas")),
        *((cells.yes_no, cell, True) for cell in ("yes", "Y", "TRUE", "1", "x")),
        *((cells.yes_no, cell, False) for cell in ("no", "N", "false", "0")),
        *((cells.yes_no, cell, None) for cell in ("", "?", "unknown", "n/a")),
        *((cells.volts, cell, 48.0) for cell in ("48", "48V", "48 v", "48 Volts", "48.0", "48 V DC")),
        (cells.volts, "51,2 V", 51.2),
        (cells.volts, "", None),
        (cells.amps, "300A", 300.0),
        (cells.amps, "1,000 amps", 1000.0),
        (cells.speed, "19 mph", 19.0),
        # 1 mile = 1.609344 km exactly (international mile): 25 / 1.609344 = 15.53...
        (cells.speed, "25 km/h", 15.5),
        (cells.voltages, "36V; 48 V", [36.0, 48.0]),
        (cells.voltages, "36/48", [36.0, 48.0]),
        (cells.voltages, "36,48", [36.0, 48.0]),
        (cells.voltages, "36, 51,2", [36.0, 51.2]),
        (cells.voltages, "any", []),
        (cells.year, "2009", 2009),
        (cells.year, "2009.0", 2009),
        (cells.year, "", None),
        (cells.year, "present", None),
        *((cells.batteries, cell, "6x8") for cell in ("6x8", "6 x 8V", "6X8 volts", "6*8", "6 \u00d7 8 V")),
        (cells.batteries, "1x51,2", "1x51.2"),
        (cells.chemistry, "Lead-acid (flooded)", "flooded"),
        (cells.chemistry, "Li-ion", "lithium"),
        (cells.chemistries, "AGM; gel", ["agm", "gel"]),
        (cells.controllers, "Stock", ["stock"]),
        (cells.controllers, "both", []),
        (cells.year_range, "2009-2014", ("2009", "2014")),
        (cells.year_range, "2009 \u2013 2014", ("2009", "2014")),
        (cells.year_range, "2009-", ("2009", "")),
        (cells.year_range, "2009+", ("2009", "")),
        (cells.year_range, "2009 to present", ("2009", "present")),
        (cells.year_range, "2009", None),
        (cells.texts, "a; b\nc;; ", ["a", "b", "c"]),
        (cells.names, "All", []),
    ],
)
def test_cells(read: Callable[[str], Any], cell: str, value: Any) -> None:
    assert read(cell) == value


@pytest.mark.parametrize(
    ("read", "cell", "message", "fix"),
    [
        (cells.powertrain, "electrc", "'electrc' is not known", "Did you mean 'electric'"),
        (cells.powertrain, "steam", "'steam' is not known", "Write one of: electric, petrol"),
        (cells.yes_no, "maybe", "neither yes nor no", "yes or no"),
        (cells.volts, "forty-eight", "no number of volts", "such as 48"),
        (cells.volts, "48 A", "no number of volts", "in volts"),
        (cells.volts, "-48", "no number", "48"),
        (cells.year, "09", "no year", "four digits"),
        (cells.year, "2009/10", "no year", "four digits"),
        (cells.batteries, "six 8 V", "no battery layout", "6x8"),
        (cells.chemistries, "gel; lithum", "'lithum'", "'lithium'"),
    ],
)
def test_a_bad_cell_says_what_would_be_right(read: Callable[[str], Any], cell: str, message: str, fix: str) -> None:
    with pytest.raises(BadCell, match=message) as caught:
        read(cell)
    assert fix in caught.value.fix


@given(st.lists(st.text("ab;,\\\n '\"=", min_size=1).map(str.strip).filter(bool)))
def test_any_list_of_texts_survives(items: list[str]) -> None:
    assert cells.texts(cells.from_texts(items)) == items


@given(st.lists(st.sampled_from(["any", "All", "none", "-", "Lark", "a;b"]), max_size=3))
def test_even_a_make_called_any_survives(items: list[str]) -> None:
    assert cells.names(cells.from_names(items)) == items


@given(st.floats(min_value=0.001, max_value=1e6).map(lambda value: round(value, 3)))
def test_numbers_survive(value: float) -> None:
    assert cells.amps(cells.from_number(value)) == value


@pytest.mark.parametrize(
    ("header", "columns", "name"),
    [
        (" Year From ", VEHICLE_COLUMNS, "year_from"),
        ("Power-Train", VEHICLE_COLUMNS, "powertrain"),
        ("Pack voltage (V)", VEHICLE_COLUMNS, "pack_voltage"),
        ("Top speed (mph)", VEHICLE_COLUMNS, "top_speed_mph"),
        ("Tire size", VEHICLE_COLUMNS, "tyre_size"),
        ("NEEDS FACTS", ANSWER_COLUMNS, "needs_facts"),
        ("follow-ups", ANSWER_COLUMNS, "follow_ups"),
        ("Text", ANSWER_COLUMNS, "answer"),
    ],
)
def test_headers_are_known_in_any_dress(header: str, columns: tuple[Column, ...], name: str) -> None:
    column = find_column(header, columns)
    assert column is not None and column.header == name


def test_strange_headers_are_not_guessed() -> None:
    assert find_column("colour", VEHICLE_COLUMNS) is None
    assert find_column("", VEHICLE_COLUMNS) is None


@pytest.mark.parametrize("columns", [VEHICLE_COLUMNS, ANSWER_COLUMNS])
def test_no_header_means_two_columns(columns: tuple[Column, ...]) -> None:
    for column in columns:
        for name in (column.header, *column.also):
            assert find_column(name, columns) is column

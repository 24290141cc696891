"""Tables written from a pack give the same pack back."""

from __future__ import annotations

import csv
import dataclasses
import io
import tempfile
from collections.abc import Sequence
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from triage.pack import Pack, PackError, load
from triage.pack.exporting import export_tables
from triage.pack.importing import import_tables
from triage.pack.schema import Answer, AppliesTo, Shop, Vehicle

from .conftest import MakePack

SHOP = Shop("Test Works", "shop@works.example")

# Text as a person may write it: letters and signs on one or several lines, no control characters.
SIGNS = st.characters(codec="utf-8", exclude_categories=["Cs", "Cc", "Zl", "Zp"]) | st.sampled_from("\n;,'\"=+-@\\|#:")
TEXT = st.text(SIGNS, min_size=1, max_size=20).map(str.strip).filter(bool)
MAYBE = st.just("") | TEXT
LIST = st.lists(TEXT, max_size=3)
IDS = st.from_regex(r"\A[A-Za-z0-9](?:[A-Za-z0-9 _.-]{0,9}[A-Za-z0-9])?\Z")
AMOUNT = st.none() | st.floats(min_value=0.5, max_value=60).map(lambda value: round(value, 2))

PETROL = st.builds(
    Vehicle,
    id=IDS,
    make=TEXT,
    model=TEXT,
    powertrain=st.just("petrol"),
    aliases=LIST,
    top_speed_mph=AMOUNT,
    year_from=st.none() | st.integers(1950, 2000),
    year_to=st.none() | st.integers(2000, 2100),
    direction_switch=MAYBE,
    throttle_sensor=MAYBE,
    wheel_stud=MAYBE,
    tyre_size=MAYBE,
    notes=MAYBE,
)
ELECTRIC = st.builds(
    Vehicle,
    id=IDS,
    make=TEXT,
    model=TEXT,
    powertrain=st.just("electric"),
    pack_voltage=AMOUNT,
    battery_chemistry=st.sampled_from([None, "flooded", "agm", "gel", "lithium"]),
    controller_amps=AMOUNT,
    controller_type=MAYBE,
    charge_interlock=st.sampled_from([None, True, False]),
    serial_pattern=st.just(r"^\d{4}"),
)
APPLIES = st.builds(
    AppliesTo,
    powertrain=st.sampled_from([None, "electric"]),
    makes=LIST,
    models=LIST,
    voltages=st.lists(st.sampled_from([36.0, 48.0, 51.2]), max_size=2),
    chemistries=st.lists(st.sampled_from(["flooded", "agm"]), unique=True),
    controllers=st.lists(st.sampled_from(["stock", "modified"]), unique=True),
    year_from=st.none() | st.integers(1950, 2000),
    year_to=st.none() | st.integers(2000, 2100),
)
ANSWERS = st.builds(
    Answer,
    id=IDS,
    title=TEXT,
    question=TEXT,
    text=TEXT,
    variants=LIST,
    applies_to=APPLIES,
    follow_ups=LIST,
    needs=st.lists(st.sampled_from(["make", "pack_voltage"]), unique=True),
    hazards=st.lists(st.sampled_from(["acid", "hydrogen_gas"]), unique=True),
    symptoms=st.sampled_from([[], ["no_move"]]),
    causes=st.sampled_from([[], ["dead_pack"]]),
    checks=st.sampled_from([[], ["measure_pack"]]),
    replaces=st.sampled_from([[], ["An old one", "o-2"]]),
    intents=st.sampled_from([[], ["diagnose", "may_i"]]),
    tags=LIST,
    source=st.sampled_from(["common practice, no source", "meter", "A handbook, page 3"]),
    author=MAYBE,
    reviewed=st.sampled_from(["", "2026-03-31"]),
)


def once(
    records: st.SearchStrategy[Vehicle] | st.SearchStrategy[Answer],
) -> st.SearchStrategy[Sequence[object]]:
    return st.lists(records, max_size=4, unique_by=lambda record: record.id)  # type: ignore[attr-defined]


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(vehicles=once(PETROL | ELECTRIC), answers=once(ANSWERS))
def test_import_of_an_export_is_the_same(
    trade: Path, suffix: str, vehicles: list[Vehicle], answers: list[Answer]
) -> None:
    pack = Pack(Path(), SHOP, tuple(vehicles), tuple(answers))
    with tempfile.TemporaryDirectory() as folder:
        again = load(there_and_back(pack, Path(folder), suffix, trade), trade=trade)
    assert sorted(again.vehicles, key=lambda one: one.id) == sorted(vehicles, key=lambda one: one.id)
    assert sorted(again.answers, key=lambda one: one.id) == sorted(answers, key=lambda one: one.id)


def there_and_back(pack: Pack, folder: Path, suffix: str, trade: Path) -> Path:
    tables = folder / f"v{suffix}", folder / f"a{suffix}"
    export_tables(pack, *tables)
    return import_tables(*tables, folder / "out", trade=trade).root


def test_an_exported_table_is_plain_for_other_programs(make_pack: MakePack, trade: Path, tmp_path: Path) -> None:
    export_tables(load(make_pack(), trade=trade), tmp_path / "v.csv", tmp_path / "a.xlsx")
    [vehicle] = csv.DictReader(io.StringIO((tmp_path / "v.csv").read_bytes().decode("utf-8-sig")))
    assert (vehicle["make"], vehicle["pack_voltage"], vehicle["batteries"]) == ("Tarvik", "48", "6x8")
    header, answer = openpyxl.load_workbook(tmp_path / "a.xlsx").worksheets[0].iter_rows(values_only=True)
    assert dict(zip(header, answer, strict=True))["hazards"] == "acid"


@pytest.mark.parametrize("title", ["=1+1", "+44", "-x", "@a", "'=1"])
def test_no_cell_can_run_as_a_formula(tmp_path: Path, title: str) -> None:
    pack = Pack(Path(), SHOP, (), (Answer("a", title, "Q", "A"),))
    export_tables(pack, tmp_path / "v.csv", tmp_path / "a.csv")
    [row] = csv.DictReader(io.StringIO((tmp_path / "a.csv").read_bytes().decode("utf-8-sig")))
    assert row["title"] == f"'{title}"
    export_tables(pack, tmp_path / "v.xlsx", tmp_path / "a.xlsx")
    cell = openpyxl.load_workbook(tmp_path / "a.xlsx").worksheets[0]["B2"]
    assert (cell.value, cell.data_type) == (title, "s")


def test_signs_a_workbook_cannot_hold_come_back(tmp_path: Path, trade: Path) -> None:
    answer = Answer("a", "bell \x07 and _x0007_ and _x005F_", "Q", "A")
    root = there_and_back(Pack(Path(), SHOP, (), (answer,)), tmp_path, ".xlsx", trade)
    assert load(root, trade=trade).answers == (answer,)


@pytest.mark.parametrize(
    ("file", "text", "message"),
    [("a.ods", "A", "not written as '.ods'"), ("a.xlsx", "A" * 32768, "32768 characters")],
)
def test_what_cannot_be_written_leaves_both_files_alone(tmp_path: Path, file: str, text: str, message: str) -> None:
    with pytest.raises(PackError, match=message):
        export_tables(Pack(Path(), SHOP, (), (Answer("a", "T", "Q", text),)), tmp_path / "v.csv", tmp_path / file)
    assert list(tmp_path.iterdir()) == []


def test_every_field_has_a_column() -> None:
    from triage.pack.columns import ANSWER_COLUMNS, VEHICLE_COLUMNS

    for record, columns in ((Vehicle, VEHICLE_COLUMNS), (Answer, ANSWER_COLUMNS)):
        names = {column.field.partition(".")[0] for column in columns}
        assert names == {one.name for one in dataclasses.fields(record)}

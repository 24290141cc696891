"""Two spreadsheets become a pack, or every mistake in them is told and nothing is written."""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from triage.pack import PackError, check, load
from triage.pack.importing import Imported, import_tables

VEHICLES = """\
make,model,year_from,year_to,powertrain,pack_voltage,batteries,charge_interlock,aliases
Tarvik,Lark,2008,2018,electric,48,6x8,yes,the lark; bird
Tarvik,Wren,2002,,gas,,,,
"""
ANSWERS = """\
id,title,question,answer,powertrain,voltages,makes,needs_facts,hazards,tags
A-017,Clicks,"It clicks, why?","Measure the pack.

Then the solenoid.",electric,36V/48V,Tarvik,Pack voltage,Battery acid,one; two
"""

Import = Callable[..., Imported]


@pytest.fixture
def run(tmp_path: Path, trade: Path) -> Import:
    """Import tables given as text or bytes into tmp_path/out."""

    def run(vehicles: str | bytes = VEHICLES, answers: str | bytes = ANSWERS, suffix: str = ".csv") -> Imported:
        files = []
        for name, content in (("vehicles", vehicles), ("answers", answers)):
            file = tmp_path / f"{name}{suffix}"
            file.write_bytes(content.encode() if isinstance(content, str) else content)
            files.append(file)
        return import_tables(files[0], files[1], tmp_path / "out", trade=trade)

    return run


def test_makes_a_pack_that_loads(run: Import, trade: Path) -> None:
    made = run()
    pack = load(made.root, trade=trade)
    lark, wren = pack.vehicles
    assert (made.vehicles, made.answers, made.warnings) == (2, 1, ())
    assert (lark.id, lark.pack_voltage, lark.charge_interlock, lark.year_to) == (
        "tarvik-lark",
        48,
        True,
        2018,
    )
    assert lark.aliases == ["the lark", "bird"]
    assert (wren.id, wren.powertrain, wren.year_to) == ("tarvik-wren", "petrol", None)
    answer = pack.answer("A-017")
    assert answer.text == "Measure the pack.\n\nThen the solenoid."
    assert (answer.applies_to.voltages, answer.applies_to.makes) == ([36, 48], ["Tarvik"])
    assert (answer.needs, answer.hazards, answer.tags) == (["pack_voltage"], ["acid"], ["one", "two"])
    assert check(made.root, trade=trade) == []


def semicolons(text: str) -> bytes:
    out = io.StringIO()
    csv.writer(out, delimiter=";").writerows(csv.reader(io.StringIO(text)))
    return out.getvalue().encode()


def tabs(text: str) -> bytes:
    out = io.StringIO()
    csv.writer(out, delimiter="\t", quoting=csv.QUOTE_ALL).writerows(csv.reader(io.StringIO(text)))
    return out.getvalue().encode()


def workbook(text: str) -> bytes:
    book = openpyxl.Workbook()
    book.worksheets[0].append(["not this one"])
    sheet = book.create_sheet("data")
    for row in csv.reader(io.StringIO(text)):
        sheet.append([int(cell) if cell.isdigit() else cell or None for cell in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


@pytest.mark.parametrize(
    "save",
    [
        pytest.param(semicolons, id="semicolons"),
        pytest.param(tabs, id="tabs"),
        pytest.param(lambda text: text.encode("utf-8-sig"), id="utf-8-with-mark"),
        pytest.param(lambda text: text.encode("utf-16"), id="utf-16"),
        pytest.param(lambda text: text.replace("\n", "\r\n").encode(), id="windows-lines"),
        pytest.param(lambda text: f"Our list\n\n{text}".encode(), id="title-above-the-header"),
        pytest.param(
            lambda text: text.replace("\n", ",,,\n").encode() if "batteries" in text else text.encode(),
            id="empty-columns",
        ),
        pytest.param(workbook, id="xlsx"),
    ],
)
def test_any_dialect_gives_the_same_pack(
    run: Import, trade: Path, tmp_path: Path, save: Callable[[str], bytes]
) -> None:
    plain = load(run().root, trade=trade)
    (tmp_path / "out").rename(tmp_path / "plain")
    other = load(run(save(VEHICLES), save(ANSWERS)).root, trade=trade)
    assert (other.vehicles, other.answers) == (plain.vehicles, plain.answers)


def test_letters_of_an_old_encoding_are_kept(run: Import, trade: Path) -> None:
    text = VEHICLES.replace("the lark", "Lerche f\u00fcr gr\u00fcne H\u00fcgel \u2013 gro\u00df")
    made = run(text.encode("cp1252"))
    pack = load(made.root, trade=trade)
    assert "not UTF-8" in made.warnings[0].message
    assert pack.vehicles[0].aliases[0] == "Lerche f\u00fcr gr\u00fcne H\u00fcgel \u2013 gro\u00df"


@pytest.mark.parametrize(
    ("cells", "hazards", "own", "warns"),
    [
        pytest.param("acid", ["acid"], [], "", id="id"),
        pytest.param("Battery_Acid", ["acid"], [], "", id="label"),
        pytest.param("sulphuric-acid", ["acid"], [], "", id="alias"),
        pytest.param("explosive gas, acid", ["hydrogen_gas", "acid"], [], "", id="commas"),
        pytest.param("corrosive", ["acid", "hydrogen_gas"], [], "", id="alias-of-two-brings-both"),
        pytest.param("hydrogn gas", ["hydrogen_gas"], [], "taken as hydrogen_gas", id="close-spelling"),
        pytest.param("hydrogen gas about", ["hydrogen_gas"], [], "taken as hydrogen_gas", id="mostly-known-words"),
        pytest.param("falling boxes", ["falling_boxes"], ["falling_boxes"], "kept as your own", id="unknown"),
        pytest.param("mind, the gap", ["mind_the_gap"], ["mind_the_gap"], "kept as your own", id="sentence"),
        pytest.param("n/a", [], [], "", id="none"),
    ],
)
def test_hazards_in_the_shops_own_words(
    run: Import, trade: Path, cells: str, hazards: list[str], own: list[str], warns: str
) -> None:
    quoted = f'"{cells}"'
    made = run(answers=f"title,question,answer,hazards\nT,Q,A,{quoted}\nU,Q,A,{quoted}\n")
    pack = load(made.root, trade=trade)
    assert [answer.hazards for answer in pack.answers] == [hazards, hazards]
    assert [name for name in pack.hazards if name not in ("acid", "hydrogen_gas")] == own
    assert all(warns in warning.message for warning in made.warnings)
    assert bool(made.warnings) == bool(warns)


def test_an_unknown_hazard_gets_a_cautious_record(run: Import, trade: Path) -> None:
    made = run(answers="title,question,answer,hazards\nT,Q,A,acid splash burns\n")
    hazard = load(made.root, trade=trade).hazards["acid_splash_burns"]
    assert (hazard.signal, hazard.source) == ("WARNING", "from the shop's spreadsheet")
    assert "acid splash burns" in hazard.note and "qualified technician" in hazard.note
    [warning] = made.warnings
    assert (warning.line, warning.key, warning.severity) == (2, "hazards", "warning")


def test_an_unknown_fact_is_asked_for_in_the_shops_words(run: Import, trade: Path) -> None:
    made = run(answers="title,question,answer,needs_facts\nT,Q,A,pack voltage; Colour of the seat?\n")
    pack = load(made.root, trade=trade)
    assert pack.answers[0].needs == ["pack_voltage", "colour_of_the_seat"]
    assert pack.facts["colour_of_the_seat"].ask == "Could you tell us this: Colour of the seat?"


@pytest.mark.parametrize(
    ("rows", "ids"),
    [
        pytest.param(["A,B,electric,48,", "A,C,gas,,"], ["a-b", "a-c"], id="make-and-model"),
        pytest.param(["A,B,electric,48,", "A,B,gas,,"], ["a-b-electric", "a-b-petrol"], id="by-powertrain"),
        pytest.param(["A,B,electric,36,", "A,B,electric,48,"], ["a-b-36", "a-b-48"], id="by-voltage"),
        pytest.param(["A,B,gas,,2001", "A,B,gas,,2009"], ["a-b-2001", "a-b-2009"], id="by-year"),
        pytest.param(
            ["A,B,gas,,2001", "A,B,ev,36,2001", "A,B,ev,36,2009"],
            ["a-b-petrol-2001", "a-b-electric-2001", "a-b-electric-2009"],
            id="by-two",
        ),
    ],
)
def test_vehicles_without_id_are_told_apart(run: Import, trade: Path, rows: list[str], ids: list[str]) -> None:
    made = run("\n".join(["make,model,powertrain,pack_voltage,year_from", *rows]))
    assert [vehicle.id for vehicle in load(made.root, trade=trade).vehicles] == sorted(ids)


def test_the_same_row_twice_is_kept_and_told(run: Import) -> None:
    made = run("make,model,powertrain\nA,B,gas\nA,B,gas\n")
    assert made.vehicles == 2
    [warning] = [one for one in made.warnings if Path(one.file).name == "vehicles.csv"]
    assert warning.line == 3 and "is it there twice?" in warning.message


@pytest.mark.parametrize(
    ("vehicles", "expected"),
    [
        ("A,B,,48,,", "electric"),
        ("A,B,,,6x8,", "electric"),
        ("A,B,Gasoline,,,", "petrol"),
    ],
)
def test_powertrain_of_a_vehicle(run: Import, trade: Path, vehicles: str, expected: str) -> None:
    made = run(f"make,model,powertrain,pack_voltage,batteries,notes\n{vehicles}\n")
    assert load(made.root, trade=trade).vehicles[0].powertrain == expected


@pytest.mark.parametrize("span", ["2009-2014", "2009 \u2013 2014", "2009 to 2014"])
def test_a_span_of_years_in_one_cell(run: Import, trade: Path, span: str) -> None:
    made = run(f"make,model,powertrain,years\nA,B,gas,{span}\n")
    vehicle = load(made.root, trade=trade).vehicles[0]
    assert (vehicle.year_from, vehicle.year_to) == (2009, 2014)


def test_unknown_columns_are_told_not_taken(run: Import) -> None:
    [warning] = run("make,model,powertrain,colour\nA,B,gas,red\n", "title,question,answer\nT,Q,A\n").warnings
    assert (warning.line, warning.column, warning.key) == (1, 4, "colour")
    assert "1 filled" in warning.message


VEHICLE_ERRORS = [
    # header, row; column, key, message, fix
    pytest.param("make,model,powertrain", ",B,gas", 1, "make", "empty", "Write the make", id="no-make"),
    pytest.param("make,model,powertrain", "A,B,steam", 3, "powertrain", "'steam'", "electric, petrol", id="power"),
    pytest.param("make,model,powertrain", "A,B,both", 3, "powertrain", "not said", "a row for each", id="both"),
    pytest.param("make,model", "A,B", 0, "powertrain", "not said", "electric or petrol", id="no-powertrain"),
    pytest.param("make,model,pack_voltage", "A,B,4x", 3, "pack_voltage", "no number", "48", id="volts"),
    pytest.param("make,model,pack_voltage", "A,B,4800", 3, "pack_voltage", "less than", "", id="too-many-volts"),
    pytest.param("make,model,powertrain,year_from", "A,B,gas,99", 4, "year_from", "no year", "2009", id="year"),
    pytest.param(
        "make,model,powertrain,year_from,year_to",
        "A,B,gas,2010,2001",
        5,
        "year_to",
        "backwards",
        "Swap",
        id="years-reversed",
    ),
    pytest.param("make,model,pack_voltage,batteries", "A,B,48,6x6", 4, "batteries", "36 V", "Correct", id="layout"),
    pytest.param(
        "make,model,powertrain,pack_voltage",
        "A,B,gas,48",
        4,
        "pack_voltage",
        "only for electric",
        "",
        id="petrol-with-volts",
    ),
    pytest.param(
        "make,model,powertrain,charge_interlock",
        "A,B,ev,perhaps",
        4,
        "charge_interlock",
        "neither",
        "yes or no",
        id="yes-no",
    ),
    pytest.param("make,model,powertrain", "A,B,gas,more", 0, "", "more cells", "quotes", id="too-many-cells"),
    pytest.param("id,make,model,powertrain", "a;b,A,B,gas", 1, "id", "pattern", "", id="bad-id"),
]


@pytest.mark.parametrize(("header", "row", "column", "key", "message", "fix"), VEHICLE_ERRORS)
def test_errors_name_row_and_column(
    run: Import, header: str, row: str, column: int, key: str, message: str, fix: str
) -> None:
    with pytest.raises(PackError) as caught:
        run(f"{header}\n{row}\n", "title,question,answer\nT,Q,A\n")
    [problem] = caught.value.problems
    assert (Path(problem.file).name, problem.line, problem.column, problem.key) == (
        "vehicles.csv",
        2,
        column,
        key,
    )
    assert message in problem.message and fix in problem.fix


def test_every_error_of_both_tables_comes_in_one_pass(run: Import, tmp_path: Path) -> None:
    vehicles = "make,model,powertrain,year_from,pack_voltage\n,B,steam,99,48\n\nA,C,gas,2001,48\n"
    answers = (
        "id,title,question,answer,voltages,year_from,year_to,symptoms\n"
        "1,T,Q,,forty,2010,2001,\n1,,Q,A,,,,no_such\n2,T,Q,A,,,,,x\n"
    )
    with pytest.raises(PackError) as caught:
        run(vehicles, answers)
    assert [(Path(one.file).stem, one.line, one.key) for one in caught.value.problems] == [
        ("answers", 2, "answer"),
        ("answers", 2, "voltages"),
        ("answers", 2, "year_to"),
        ("answers", 3, "id"),
        ("answers", 3, "title"),
        ("answers", 3, "symptoms"),
        ("answers", 4, ""),
        ("vehicles", 2, "make"),
        ("vehicles", 2, "powertrain"),
        ("vehicles", 2, "year_from"),
        ("vehicles", 4, "pack_voltage"),
    ]
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("answers", "key", "line", "message"),
    [
        pytest.param(b"title,question\nT,Q\n", "answer", 1, "column is missing", id="missing-column"),
        pytest.param(b"title,question,answer,Title\nT,Q,A,T\n", "Title", 1, "twice", id="column-twice"),
        pytest.param(b'title,question,answer\nT,Q,"A\nT,Q,A\n', "", 2, "cannot be read", id="open-quote"),
        pytest.param(b"a,b,c\n1,2,3\n", "", 0, "no row with column names", id="no-header"),
        pytest.param(b"", "", 0, "no row with column names", id="empty"),
        pytest.param(b"PK\x03\x04garbage", "", 0, "no .xlsx workbook", id="broken-workbook"),
        pytest.param(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "", 0, "old .xls", id="old-workbook"),
    ],
)
def test_files_that_are_not_such_a_table(run: Import, answers: bytes, key: str, line: int, message: str) -> None:
    with pytest.raises(PackError) as caught:
        run(answers=answers)
    [problem] = caught.value.problems
    assert (problem.key, problem.line) == (key, line)
    assert message in problem.message and problem.fix


@pytest.mark.parametrize(("value", "message"), [("=1/0", "no stored value"), ("#REF!", "shows the error #REF!")])
def test_cells_that_show_no_value_are_not_taken_as_empty(run: Import, value: str, message: str) -> None:
    book = openpyxl.Workbook()
    book.worksheets[0].append(["title", "question", "answer"])
    book.worksheets[0].append(["T", "Q", value])
    out = io.BytesIO()
    book.save(out)
    with pytest.raises(PackError, match=message) as caught:
        run(answers=out.getvalue())
    assert caught.value.problems[0].line == 2


def test_a_missing_file_is_a_problem_beside_the_other_files_errors(tmp_path: Path, trade: Path) -> None:
    vehicles = tmp_path / "v.csv"
    vehicles.write_text("make,model,powertrain\n,B,gas\n")
    with pytest.raises(PackError) as caught:
        import_tables(vehicles, tmp_path / "nowhere.csv", tmp_path / "out", trade=trade)
    assert [Path(one.file).name for one in caught.value.problems] == ["nowhere.csv", "v.csv"]


def test_a_filled_folder_is_left_alone(run: Import, tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "mine.txt").write_text("mine")
    with pytest.raises(PackError, match="not empty"):
        run()
    assert [file.name for file in (tmp_path / "out").iterdir()] == ["mine.txt"]


def test_nothing_is_half_written(run: Import, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise OSError("the disk is full")

    monkeypatch.setattr(os, "replace", fail)
    with pytest.raises(OSError, match="disk is full"):
        run()
    assert sorted(file.name for file in tmp_path.iterdir()) == ["answers.csv", "trade", "vehicles.csv"]


def test_answers_alone(tmp_path: Path, trade: Path) -> None:
    file = tmp_path / "a.csv"
    file.write_text(ANSWERS)
    assert import_tables(None, file, tmp_path / "out", trade=trade).answers == 1


def test_ids_that_differ_only_in_case_or_signs_get_files_of_their_own(run: Import, trade: Path) -> None:
    ids = ["BAT 12", "bat-12", "Bat/12", "CON", "\u00c6 1", "A.b+c"]
    rows = "".join(f"{name},T{number},Q,A\n" for number, name in enumerate(ids))
    made = run(answers=f"id,title,question,answer\n{rows}")
    assert {answer.id for answer in load(made.root, trade=trade).answers} == set(ids)

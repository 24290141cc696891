"""Every kind of mistake is found, with its line, its severity and a way out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from triage.pack import PackError, Problem, check, load

from .conftest import SHOP, TRADE, MakePack

LARK, FLAT, TWO = "shop/vehicles/lark.md", "shop/answers/flat.md", "shop/answers/two.md"
SHOP_FILE, PHRASES = "shop/shop.yaml", "shop/wording/phrases.yaml"
FACTS, SYMPTOMS, CAUSES = "trade/facts.yaml", "trade/symptoms.yaml", "trade/causes.yaml"
CHECKS, HAZARDS, WORDS = "trade/checks.yaml", "trade/hazards.yaml", "trade/words.yaml"


def swapped(name: str, old: str, new: str) -> dict[str, str]:
    """One file of the small shop or of its trade part with a piece of text changed."""
    text = SHOP[name] if name in SHOP else TRADE[name.removeprefix("trade/")]
    assert text.count(old) == 1, (name, old)
    return {name: text.replace(old, new)}


def added(name: str, more: str) -> dict[str, str]:
    """One file with text at its end (before the end of the YAML for Markdown)."""
    text = SHOP[name] if name in SHOP else TRADE[name.removeprefix("trade/")]
    if name.endswith(".md"):
        start, yaml, body = text.split("---\n", 2)
        return {name: f"{start}---\n{yaml}{more}---\n{body}"}
    return {name: text + more}


def second_answer(yaml: str) -> dict[str, str]:
    return {TWO: f"---\nid: two\ntitle: T\nquestion: Q\n{yaml}---\nText.\n"}


ERRORS = [
    # file, line, key, message, fix
    pytest.param(swapped(LARK, "id: lark", 'id: "lark'), LARK, 2, "", "scanning|quoted", "quotes", id="syntax"),
    pytest.param(added(LARK, "color: red\n"), LARK, 11, "color", "unknown key", "Known: ", id="unknown-key"),
    pytest.param(swapped(LARK, "model:", "modle:"), LARK, 4, "modle", "unknown key", "'model'", id="misspelt-key"),
    pytest.param(swapped(LARK, "make: Tarvik\n", ""), LARK, 2, "make", "missing", "Add a line", id="missing-key"),
    pytest.param(swapped(LARK, "make: Tarvik", "make:"), LARK, 3, "make", "missing", "Add", id="empty-value"),
    pytest.param(swapped(LARK, "2018", "soon"), LARK, 7, "year_to", "'soon' does not fit", "", id="bad-number"),
    pytest.param(swapped(LARK, "2018", "3018"), LARK, 7, "year_to", "less than", "", id="out-of-range"),
    pytest.param(swapped(LARK, "6x8", "6 by 8"), LARK, 9, "batteries", "pattern", "", id="bad-pattern"),
    pytest.param(
        swapped(LARK, "electric", "electrik"), LARK, 5, "powertrain", "must be", "'electric'", id="bad-choice"
    ),
    pytest.param(swapped(FLAT, "[Tarvik]", "Tarvik"), FLAT, 6, "applies_to.makes", "a list", "", id="not-a-list"),
    pytest.param(
        swapped(FLAT, "makes:", "mkaes:"),
        FLAT,
        6,
        "applies_to.mkaes",
        "unknown key",
        "",
        id="unknown-inner-key",
    ),
    pytest.param(added(FLAT, "text: again\n"), FLAT, 9, "text", "text of the file", "Move", id="text-as-key"),
    pytest.param(added(FLAT, "title: again\n"), FLAT, 9, "", "twice", "", id="key-twice"),
    pytest.param({FLAT: "id: flat\n"}, FLAT, 1, "", "first --- line", "two lines", id="no-front-matter"),
    pytest.param({FLAT: "---\nid: flat\n"}, FLAT, 1, "", "closing --- line", "two lines", id="open-front-matter"),
    pytest.param({FLAT: "---\n- a\n---\n"}, FLAT, 2, "", "keys and values", "key: value", id="list-not-record"),
    pytest.param({FACTS: "id: x\n"}, FACTS, 1, "", "a list of records", "- id", id="record-not-list"),
    pytest.param({FACTS: "- x\n"}, FACTS, 1, "0", "keys and values", "id, label", id="text-not-record"),
    pytest.param({WORDS: "prats:\n  a: [b]\n"}, WORDS, 1, "prats", "unknown", "parts", id="words-key"),
    pytest.param(
        {HAZARDS: "- id: h\n  label: h\n  note: n\n  short: s\n"},
        HAZARDS,
        1,
        "0.signal",
        "missing",
        "Add",
        id="hazard-without-signal",
    ),
    pytest.param(
        {HAZARDS: "- id: h\n  label: h\n  signal: CARE\n  note: n\n  short: s\n"},
        HAZARDS,
        3,
        "0.signal",
        "'DANGER'",
        "Did you mean|Known",
        id="unknown-signal",
    ),
    pytest.param(
        second_answer("") | {"shop/answers/zwei.md": second_answer("")[TWO]},
        "shop/answers/zwei.md",
        2,
        "id",
        r"taken by .*two.md, line 2",
        "another id",
        id="id-twice",
    ),
    pytest.param(
        second_answer("hazards:\n  - acid\n  - hydrogn_gas\n"),
        TWO,
        7,
        "hazards.1",
        "no 'hydrogn_gas' among the hazards",
        "'hydrogen_gas'",
        id="unknown-hazard",
    ),
    pytest.param(
        second_answer("needs: [volts]\n"),
        TWO,
        5,
        "needs.0",
        "among the facts",
        "Or add it",
        id="unknown-fact",
    ),
    pytest.param(
        second_answer("symptoms: [x]\n"),
        TWO,
        5,
        "symptoms.0",
        "among the symptoms",
        "Known: no_move",
        id="unknown-symptom",
    ),
    pytest.param(second_answer("causes: [x]\n"), TWO, 5, "causes.0", "among the causes", "", id="unknown-cause"),
    pytest.param(second_answer("checks: [x]\n"), TWO, 5, "checks.0", "among the checks", "", id="unknown-check"),
    pytest.param(
        swapped(CAUSES, "no_move", "no_mov"),
        CAUSES,
        5,
        "0.symptoms.no_mov",
        "among the symptoms",
        "'no_move'",
        id="cause-of-unknown-symptom",
    ),
    pytest.param(
        added(CAUSES, "  when:\n    wheel: [a]\n"),
        CAUSES,
        7,
        "0.when.wheel",
        "among the facts",
        "",
        id="condition-on-unknown-fact",
    ),
    pytest.param(
        swapped(CHECKS, "[dead_pack]", "[flat_pack]"),
        CHECKS,
        5,
        "0.causes.0",
        "among the causes",
        "",
        id="check-of-unknown-cause",
    ),
    pytest.param(
        swapped(CHECKS, "cause: dead_pack", "cause: ded_pack"),
        CHECKS,
        9,
        "0.outcomes.0.cause",
        "among the causes",
        "'dead_pack'",
        id="outcome-of-unknown-cause",
    ),
    pytest.param(
        swapped(CHECKS, "[acid]", "[acd]"),
        CHECKS,
        10,
        "0.hazards.0",
        "among the hazards",
        "'acid'",
        id="check-with-unknown-hazard",
    ),
    pytest.param(
        {HAZARDS: TRADE["hazards.yaml"] + "  facts:\n    - moon: [full]\n"},
        HAZARDS,
        16,
        "1.facts.0.moon",
        "among the facts",
        "",
        id="hazard-of-unknown-fact",
    ),
    pytest.param(
        {WORDS: "values:\n  moon:\n    full: [round]\n"},
        WORDS,
        2,
        "values.moon",
        "among the facts",
        "",
        id="words-of-unknown-fact",
    ),
    pytest.param(
        {WORDS: "implies:\n  - phrases: [a]\n    fact: moon\n    value: b\n"},
        WORDS,
        3,
        "implies.0.fact",
        "among the facts",
        "",
        id="implied-unknown-fact",
    ),
    pytest.param(swapped(LARK, "2008", "2019"), LARK, 7, "year_to", "backwards", "Swap", id="years-reversed"),
    pytest.param(
        second_answer("applies_to:\n  year_from: 2010\n  year_to: 2009\n"),
        TWO,
        7,
        "applies_to.year_to",
        "backwards",
        "Swap",
        id="answer-years-reversed",
    ),
    pytest.param(swapped(FACTS, "high: 120", "high: 6"), FACTS, 8, "1.high", "backwards", "Swap", id="range-reversed"),
    pytest.param(
        swapped(LARK, "6x8", "6x6"),
        LARK,
        9,
        "batteries",
        "makes 36 V, but pack_voltage says 48 V",
        "Correct",
        id="layout-disagrees",
    ),
    pytest.param(
        swapped(LARK, "electric", "petrol"),
        LARK,
        8,
        "pack_voltage",
        "only for electric",
        "Take it out",
        id="petrol-with-pack",
    ),
    pytest.param(
        second_answer("applies_to:\n  powertrain: petrol\n  voltages: [48]\n"),
        TWO,
        7,
        "applies_to.voltages",
        "only for electric",
        "",
        id="petrol-answer-with-volts",
    ),
    pytest.param(
        added(LARK, "serial_pattern: '(a'\n"),
        LARK,
        11,
        "serial_pattern",
        "regular expression",
        "backslash",
        id="bad-regular-expression",
    ),
    pytest.param(second_answer("reviewed: last May\n"), TWO, 5, "reviewed", "no date", "2026-", id="bad-date"),
    pytest.param(
        swapped(SHOP_FILE, "shop@works.example", "works.example"),
        SHOP_FILE,
        2,
        "mail",
        "no mail address",
        "@",
        id="bad-mail",
    ),
    pytest.param(
        second_answer("replaces: [flat]\n") | added(FLAT, "replaces: [two]\n"),
        FLAT,
        9,
        "replaces",
        "flat -> two -> flat",
        "Take one",
        id="replaces-in-a-circle",
    ),
    pytest.param(second_answer("replaces: [two]\n"), TWO, 5, "replaces", "two -> two", "", id="replaces-itself"),
    pytest.param(
        {"shop/wording/a.j2": "x\n{% if %}\n"},
        "shop/wording/a.j2",
        2,
        "",
        "template",
        "",
        id="broken-template",
    ),
    pytest.param({PHRASES: "a: [b]\nc:\n  - d\n  - '{{ e'\n"}, PHRASES, 4, "c.1", "template", "", id="broken-phrase"),
    pytest.param(
        added(SHOP_FILE, "extends: ../nowhere\n"),
        SHOP_FILE,
        3,
        "extends",
        "no pack at",
        "folder",
        id="extends-nothing",
    ),
    pytest.param(added(SHOP_FILE, "extends: .\n"), SHOP_FILE, 3, "extends", "circle", "Take one", id="extends-itself"),
]

WARNINGS = [
    pytest.param(
        swapped(FLAT, "[Tarvik]", "[Tarvick]"),
        FLAT,
        6,
        "applies_to.makes.0",
        "catalogue",
        "'Tarvik'",
        id="unknown-make",
    ),
    pytest.param(
        swapped(FLAT, "makes: [Tarvik]", "voltages: [72]"),
        FLAT,
        6,
        "applies_to",
        "fits",
        "Widen",
        id="fits-no-vehicle",
    ),
    pytest.param(
        second_answer("replaces: [flt]\n"), TWO, 5, "replaces.0", "no answer", "'flat'", id="replaces-unknown"
    ),
    pytest.param(
        second_answer("source: metre\n"),
        TWO,
        5,
        "source",
        "no source 'metre'",
        "'meter'",
        id="unknown-source",
    ),
    pytest.param(
        {TWO: "---\nid: two\ntitle: T\nquestion: Q\n---\n"},
        TWO,
        2,
        "",
        "no text",
        "second --- line",
        id="answer-without-text",
    ),
    pytest.param(
        swapped(LARK, "pack_voltage: 48\nbatteries: 6x8\n", ""),
        LARK,
        2,
        "",
        "pack_voltage",
        "Add",
        id="electric-without-voltage",
    ),
    pytest.param(
        {SYMPTOMS: TRADE["symptoms.yaml"].replace("no_move", "hums")},
        SYMPTOMS,
        1,
        "0.id",
        "no cause",
        "Add",
        id="symptom-without-cause",
    ),
    pytest.param(
        {CAUSES: TRADE["causes.yaml"].replace("dead_pack", "rust")},
        CAUSES,
        1,
        "0.id",
        "no check",
        "Add",
        id="cause-without-check",
    ),
    pytest.param(
        {HAZARDS: "- id: h\n  label: h\n  signal: NOTICE\n  note: n\n  short: s\n"},
        HAZARDS,
        1,
        "0.id",
        "nothing an asker writes",
        "phrases",
        id="silent-hazard",
    ),
    pytest.param(
        {FACTS: "- id: f\n  label: f\n  kind: choice\n"},
        FACTS,
        3,
        "0.kind",
        "without values",
        "values",
        id="choice-without-values",
    ),
    pytest.param(
        added(CAUSES, "  when:\n    battery_chemistry: [wet]\n"),
        CAUSES,
        7,
        "0.when.battery_chemistry.0",
        "'wet' is no value",
        "flooded",
        id="condition-never-holds",
    ),
    pytest.param(
        added(CAUSES, "  powertrain: petrol\n") | added(SYMPTOMS, "  powertrain: electric\n"),
        CAUSES,
        5,
        "0.symptoms.no_move",
        "electric",
        "any",
        id="cause-of-the-other-powertrain",
    ),
    pytest.param(
        {"trade/symptom.yaml": "x"},
        "trade/symptom.yaml",
        0,
        "",
        "not read",
        "symptoms.yaml",
        id="misspelt-file",
    ),
    pytest.param(
        {"shop/answers/note.txt": "x"},
        "shop/answers/note.txt",
        0,
        "",
        "not read",
        ".md",
        id="file-of-another-kind",
    ),
]


def found(problems: list[Problem], root: Path, file: str, key: str, line: int) -> Problem:
    here = [one for one in problems if one.file == str(root / file) and one.key == key and one.line == line]
    assert here, "\n".join(map(str, problems))
    return here[0]


@pytest.mark.parametrize(("changes", "file", "line", "key", "message", "fix"), ERRORS)
def test_errors(
    make_pack: MakePack,
    trade: Path,
    changes: dict[str, str],
    file: str,
    line: int,
    key: str,
    message: str,
    fix: str,
) -> None:
    root = make_pack(changes)
    problem = found(check(root, trade=trade), root, file, key, line)
    assert problem.severity == "error"
    assert_says(problem, message, fix)
    with pytest.raises(PackError):
        load(root, trade=trade)


@pytest.mark.parametrize(("changes", "file", "line", "key", "message", "fix"), WARNINGS)
def test_warnings_leave_the_pack_usable(
    make_pack: MakePack,
    trade: Path,
    changes: dict[str, str],
    file: str,
    line: int,
    key: str,
    message: str,
    fix: str,
) -> None:
    root = make_pack(changes)
    problem = found(check(root, trade=trade), root, file, key, line)
    assert problem.severity == "warning"
    assert_says(problem, message, fix)
    assert load(root, trade=trade).shop.name == "Test Works"


def assert_says(problem: Problem, message: str, fix: str) -> None:
    assert re.search(message, problem.message)
    assert re.search(fix, problem.fix)


def test_a_good_pack_has_no_problem(make_pack: MakePack, trade: Path) -> None:
    assert check(make_pack(), trade=trade) == []


def test_all_problems_come_at_once_in_order(make_pack: MakePack, trade: Path) -> None:
    changes = swapped(LARK, "6x8", "6x6") | second_answer("needs: [volts]\nhazards: [acd]\n") | {FLAT: "no"}
    problems = check(make_pack(changes), trade=trade)
    assert [(Path(one.file).name, one.line) for one in problems] == [
        ("flat.md", 1),
        ("two.md", 5),
        ("two.md", 6),
        ("lark.md", 9),
    ]


def test_packs_that_extend_each_other_are_a_problem(make_pack: MakePack, trade: Path) -> None:
    text = SHOP[SHOP_FILE] + "extends: ../{}\n"
    first = make_pack({SHOP_FILE: text.format("b")}, name="a")
    make_pack({SHOP_FILE: text.format("a")}, name="b")
    [problem] = check(first, trade=trade)
    assert problem.key == "extends" and "circle" in problem.message and problem.line == 3


def test_bytes_that_are_not_text_are_a_problem_of_their_line(make_pack: MakePack, trade: Path) -> None:
    root = make_pack()
    (root / LARK).write_bytes(b"---\nid: lark\nmake: L\xe4rk\n---\n")
    [problem, *_] = [one for one in check(root, trade=trade) if one.severity == "error"]
    assert (problem.line, problem.fix) == (3, "Save the file as UTF-8.")


@pytest.mark.parametrize(
    ("batteries", "volts", "chemistry"),
    [
        # 3.2 V per cell: 12, 16 and 24 cells (computed).
        ("1x38.4", 36, "lithium"),
        ("1x51.2", 48, "lithium"),
        ("1x76.8", 72, "lithium"),
        ("6x6", 36, "flooded"),
        ("4x12", 48, "agm"),
        ("9x8", 72, "flooded"),
    ],
)
def test_usual_layouts_agree(make_pack: MakePack, trade: Path, batteries: str, volts: float, chemistry: str) -> None:
    text = SHOP[LARK].replace("6x8", batteries).replace("48", str(volts)).replace("flooded", chemistry)
    assert check(make_pack({LARK: text}), trade=trade) == []


def test_a_problem_reads_as_one_line() -> None:
    problem = Problem("a.md", 3, 5, "year_to", "the years run backwards", "Swap the two.")
    assert str(problem) == "a.md:3:5: error: year_to: the years run backwards. Swap the two."

"""Hard questions: the notes are well formed, and the comparison sees what agrees and what does not."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from evalcases import fact, gaps, note

from eval.hard import Noted, check_questions, compare, load_questions, main, page, told
from eval.labels import LabelError
from eval.shops import KNOWLEDGE
from triage.model import Conflict, Decision, Fact, Reading
from triage.model import Standing as S
from triage.pack import Pack, load


@pytest.fixture(scope="module")
def pack() -> Pack:
    return load(KNOWLEDGE)


def noted(**more: Any) -> Noted:
    return Noted(**({"id": "h1", "text": "a question", "decision": "no_answer", "note": "A note."} | more))


def differences(one: Noted, reading: Reading, pack: Pack) -> dict[str, tuple[str, ...]]:
    return {row.name: row.differs for row in compare(one, reading, pack) if row.differs}


def test_there_are_thirty_questions_and_each_note_names_what_the_pack_has(pack: Pack) -> None:
    questions = load_questions()
    check_questions(questions, pack)
    assert len({one.id for one in questions}) == len({one.text for one in questions}) == 30
    assert all(one.tries and one.note for one in questions)


@pytest.mark.parametrize(
    ("more", "problem"),
    [
        ({"facts": ["wheels 4"]}, "unknown fact 'wheels'"),
        ({"facts": ["symptom sulks"]}, "unknown symptom 'sulks'"),
        ({"danger": ["dragons"]}, "unknown hazard 'dragons'"),
        ({"missing": ["mood"]}, "unknown fact 'mood'"),
        ({"conflict": ["year + mood: no"]}, "unknown fact 'mood'"),
    ],
)
def test_a_name_the_pack_does_not_have_is_refused(more: dict[str, list[str]], problem: str, pack: Pack) -> None:
    with pytest.raises(LabelError, match=f"h1: {problem}"):
        check_questions([noted(**more)], pack)


@pytest.mark.parametrize("text", ["pack_voltage", "year 2004 (perhaps)"])
def test_a_fact_in_another_form_is_refused(text: str) -> None:
    with pytest.raises(LabelError, match="is not of the form"):
        told(text)


@pytest.mark.parametrize("content", ["- id: h1", "- {", "- {id: h1, text: t, decision: maybe, note: n}"])
def test_a_file_in_another_form_is_refused(content: str, tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").write_text(content, encoding="utf-8")
    with pytest.raises(LabelError, match=r"bad\.yaml"):
        load_questions(tmp_path / "bad.yaml")


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("model Ridge", fact("model", "Ridge")),
        ("model Lark Li", fact("model", "Lark Li")),
        ("year 2004-2005 (hedged)", fact("year", (2004.0, 2005.0), S.HEDGED)),
        ("2: pack_voltage 48 (corrected)", fact("pack_voltage", 48, S.CORRECTED, vehicle=2)),
        ("top_speed 11.8", fact("top_speed", 12)),  # 19 km/h, rounded
        ("tyre_size 18x8.50-8", fact("tyre_size", "18x8.5-8")),
        ("work_done solenoid replaced", fact("work_done", "Solenoid replaced")),
        ("measurement 6.2;5.9 V / at rest", fact("measurement", (6.2, 5.9), unit="V", condition="at rest")),
        ("measurement -8 C / outside", fact("measurement", -8, unit="°C", condition="outside")),
        ("powertrain petrol (inferred)", fact("powertrain", "petrol", S.INFERRED)),
    ],
)
def test_the_same_fact_in_another_form_agrees(text: str, read: Fact, pack: Pack) -> None:
    assert differences(noted(facts=[text]), Reading("h1", facts=(read,)), pack) == {}


@pytest.mark.parametrize(
    ("text", "read", "told_apart"),
    [
        ("lift 3", fact("lift", 4), ("missed: lift 3", "made up: lift 4")),
        ("lift 3", fact("lift", 4, S.PLANNED), ("missed: lift 3",)),
        ("lift 3 (denied)", fact("lift", 3), ("read as: lift 3 instead of lift 3 (denied)",)),
        ("year 2011", fact("year", 2012), ("missed: year 2011", "made up: year 2012")),
        ("2: year 2011", fact("year", 2011), ("read as: year 2011 instead of 2: year 2011",)),
        (
            "measurement 38 V / at rest",
            fact("measurement", 38, unit="V", condition="uphill"),
            ("read as: measurement 38 V / uphill instead of measurement 38 V / at rest",),
        ),
        (
            "measurement 38 V",
            fact("measurement", 38, unit="A"),
            ("missed: measurement 38 V", "made up: measurement 38 A"),
        ),
        (
            "symptom slow",
            fact("symptom", "slow", S.INFERRED),
            ("read as: symptom slow (inferred) instead of symptom slow",),
        ),
    ],
)
def test_another_value_standing_vehicle_or_circumstance_differs(
    text: str, read: Fact, told_apart: tuple[str, ...], pack: Pack
) -> None:
    assert differences(noted(facts=[text]), Reading("h1", facts=(read,)), pack) == {"facts": told_apart}


def test_what_the_catalogue_adds_is_not_made_up(pack: Pack) -> None:
    read = fact("make", "Tarvik", S.INFERRED), fact("intent", "diagnose")
    assert differences(noted(), Reading("h1", facts=read), pack) == {}


def conflict(*names: str, ask: str = "") -> Conflict:
    return Conflict("c", names, "cannot be", ask)


@pytest.mark.parametrize(
    ("names", "differs"),
    [
        ((("model", "year"),), ()),
        ((("model", "year"), ("year", "pack_voltage")), ()),  # sees more in the same facts
        ((), ("missed: year + model: too late",)),
        ((("lift", "tyre_size"),), ("missed: year + model: too late", "made up: lift + tyre_size: cannot be")),
    ],
)
def test_conflicts_meet_when_they_share_a_fact(
    names: tuple[tuple[str, ...], ...], differs: tuple[str, ...], pack: Pack
) -> None:
    reading = Reading("h1", conflicts=tuple(conflict(*each) for each in names))
    assert differences(noted(conflict=["year + model: too late"]), reading, pack).get("conflict", ()) == differs


@pytest.mark.parametrize(
    ("missing", "reading", "agrees"),
    [
        (["year", "serial"], gaps("serial", "lift"), True),
        (["year"], gaps("lift", "year"), False),
        (["year"], Reading("h1"), False),
        (["year"], Reading("h1", conflicts=(conflict("year", ask="Which year?"),)), True),
        (["year"], Reading("h1", conflicts=(conflict("year"),)), False),
        ([], Reading("h1"), True),
        ([], gaps("year"), False),
    ],
)
def test_one_of_the_missing_facts_is_asked_first(
    missing: list[str], reading: Reading, agrees: bool, pack: Pack
) -> None:
    assert ("missing" not in differences(noted(missing=missing), reading, pack)) is agrees


def test_only_danger_that_is_told_counts(pack: Pack) -> None:
    reading = Reading("h1", hazards=(note("acid"), note("towing", told=False), note("brakes")))
    differs = differences(noted(danger=["acid", "children"]), reading, pack)
    assert differs == {"danger": ("missed: children", "made up: brakes")}


def test_another_decision_differs(pack: Pack) -> None:
    reading = Reading("h1", decision=Decision.ASK)
    assert differences(noted(), reading, pack) == {"decision": ("decided ask, not no_answer",)}


@pytest.mark.parametrize(
    ("more", "reading", "worst"),
    [
        ({"facts": ["lift 6 (planned)"]}, Reading("h1", facts=(fact("lift", 6),)), "took as true: lift 6 instead of"),
        ({"facts": ["lift 6 (planned)", "lift 6"]}, Reading("h1", facts=(fact("lift", 6),)), ""),
        ({"danger": ["acid"]}, Reading("h1"), "missed: acid"),
        ({}, Reading("h1", hazards=(note("acid"),)), ""),
        ({"conflict": ["year: no"]}, Reading("h1"), "missed: year: no"),
        ({}, Reading("h1", decision=Decision.ANSWER), "decided answer, not no_answer"),
        ({"decision": "hand_over"}, Reading("h1", decision=Decision.ASK), "decided ask, not hand_over"),
        ({"decision": "answer"}, Reading("h1", decision=Decision.ASK), ""),
    ],
)
def test_worst_is_what_could_mislead_or_hurt(more: dict[str, Any], reading: Reading, worst: str, pack: Pack) -> None:
    texts = [text for row in compare(noted(**more), reading, pack) for text in row.worst]
    assert [text[: len(worst)] for text in texts] == ([worst] if worst else [])


def test_the_page_counts_agreements_and_marks_differences(pack: Pack) -> None:
    one, other = noted(facts=["year 2011", "lift 3"], tries=["slang"]), noted(id="h2", tries=["denial"])
    read = Reading("h1", facts=(fact("year", 2011), fact("lift", 4)))
    text = page([(one, compare(one, read, pack)), (other, compare(other, Reading("h2"), pack))])
    assert "| facts | 1 | 2 |" in text and "| all lines | 9 | 10 |" in text and "| whole questions | 1 | 2 |" in text
    assert "Of 2 facts the technician notes, 1 are read alike" in text and "1 are missed; 1 are made up." in text
    assert "| facts | year 2011<br>lift 3 | year 2011<br>lift 4 | ≠ missed: lift 3<br>made up: lift 4 |" in text
    assert "- h1: missed: lift 3; made up: lift 4" in text and "### h2: denial" in text


def test_two_runs_write_the_same(tmp_path: Path) -> None:
    files = [tmp_path / "one.md", tmp_path / "two.md"]
    assert [main(["--out", str(file)]) for file in files] == [0, 0]
    assert files[0].read_bytes() == files[1].read_bytes()
    assert files[0].read_text(encoding="utf-8").count("\n### h") == 30

"""The whole run on a dozen questions: the same bytes twice, and the locked part stays shut."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from eval.run import main
from eval.split import part_of


def line(number: int, voice: str, text: str, **more: Any) -> dict[str, Any]:
    usual = {"id": f"q{number:03}", "voice": voice, "text": text, "intent": "diagnose", "decision": "answer"}
    return usual | {"answer": None} | more


def fact(name: str, value: Any, standing: str = "stated") -> dict[str, Any]:
    return {"name": name, "value": value, "standing": standing}


DOZEN = [
    line(1, "phone", "lark 48 clicks but wont move, batts 50.2 at rest", facts=[fact("model", "Lark")]),
    line(2, "plain", "My 2012 Ridge is slow on hills.", facts=[fact("model", "Ridge"), fact("year", 2012)]),
    line(3, "caps", "TERN EFI SMELLS OF PETROL IN THE GARAGE", hazards=["fuel_vapour"], decision="hand_over"),
    line(4, "form", "Make: Merrow\nModel: Sprite\nQuestion: do you have jobs?", decision="hand_over", intent="other"),
    line(5, "plain", "It is not petrol.", facts=[fact("powertrain", "petrol", "denied")], decision="ask"),
    line(6, "speech", "it just hums and will not charge its the thirty six volt ridge", symptoms=["will_not_charge"]),
    line(7, "expert", "Drover, 72 V, 75.8 V rested, sags to 61 V at 300 A.", facts=[fact("pack_voltage", 72)]),
    line(8, "rambling", "We went to the coast. Anyway: can I fit 22 inch tyres on the Courier?", intent="may_i"),
    line(9, "second_language", "Please, which oil for engine of Wren?", intent="which_part"),
    line(10, "plain", "Battery boiled over and acid is on the floor.", hazards=["acid"], decision="hand_over"),
    line(11, "phone", "neighbours lark is 36v, mine is lithium", facts=[fact("pack_voltage", 36, "other")]),
    line(12, "plain", "The belt squeals for a second when I set off.", symptoms=["belt_squeals"]),
]


@pytest.fixture(scope="module")
def labels(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("labels")
    file = folder / "demo_shop" / "questions.jsonl"
    file.parent.mkdir()
    file.write_text("".join(json.dumps(item) + "\n" for item in DOZEN), encoding="utf-8")
    return folder


def ran(labels: Path, out: Path, *options: str) -> tuple[str, list[dict[str, Any]]]:
    assert main(["--shop", "demo", "--labels", str(labels), "--out", str(out), *options]) == 0
    mistakes = (out / "mistakes.jsonl").read_text(encoding="utf-8").splitlines()
    return (out / "report.md").read_text(encoding="utf-8"), [json.loads(mistake) for mistake in mistakes]


def test_two_runs_write_the_same_bytes(labels: Path, tmp_path: Path) -> None:
    assert ran(labels, tmp_path / "one") == ran(labels, tmp_path / "two")


def test_locked_questions_are_counted_and_never_shown(labels: Path, tmp_path: Path) -> None:
    locked = {item["id"] for item in DOZEN if part_of(item["id"]) == "locked"}
    report, mistakes = ran(labels, tmp_path / "shut")
    assert f"all 12, tuning {12 - len(locked)}, locked {len(locked)}" in report
    assert mistakes and not locked & {mistake["id"] for mistake in mistakes}
    assert not any(f"demo {name}:" in report for name in locked)
    _, opened = ran(labels, tmp_path / "open", "--show-locked")
    assert locked & {mistake["id"] for mistake in opened}


@pytest.mark.parametrize("split", ["tuning", "locked"])
def test_one_part_is_read_alone(split: str, labels: Path, tmp_path: Path) -> None:
    report, _ = ran(labels, tmp_path, "--split", split)
    number = sum(part_of(item["id"]) == split for item in DOZEN)
    assert f"Questions: all {number}, {split} {number}," in report


def test_a_mistake_carries_its_question(labels: Path, tmp_path: Path) -> None:
    _, mistakes = ran(labels, tmp_path)
    assert {"shop", "id", "part", "voice", "kind", "expected", "got", "text"} <= set(mistakes[0])


def test_missing_labels_are_told_and_nothing_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--shop", "second", "--labels", str(tmp_path), "--out", str(tmp_path / "out")]) == 1
    assert "there is no such file of labelled questions" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()

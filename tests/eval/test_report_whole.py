"""The whole report over a dozen questions: the same bytes twice, and the locked part stays shut."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest.importorskip("matplotlib", reason="pictures need the eval extra")

from test_eval_run import DOZEN

from eval.ablation import Outcome
from eval.counts import Counts
from eval.everything.__main__ import main
from eval.everything.kept import Kept
from eval.everything.parts import REFITS, Run, Stories, variants
from eval.everything.variation import Varied
from eval.split import part_of

# the other parts as a run would have kept them: their own tests make them
STORIES = Stories(Counts(3, 1, 1), 4, 3, 2, 0)
PRICES = {name: [10.0, 20.0] for name in ("the program", "order of the file", "probability alone", "cheapest first")}
OUTCOMES = {name: [Outcome(True, True, 0.9, False), Outcome(False, True, 0.4, False), Outcome(False, False, 0.2, True)]
            for name in variants()}  # fmt: skip
VARIED = {"all capitals": Varied(5, (0.9, 0.8), (1.0, 0.9))}


@pytest.fixture(scope="module")
def labels(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("labels")
    file = folder / "demo_shop" / "questions.jsonl"
    file.parent.mkdir()
    some = [{**item, "answer": "drive-clicks-will-not-move"} if item["id"] == "q001" else item for item in DOZEN]
    file.write_text("".join(json.dumps(item) + "\n" for item in some), encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def reports(labels: Path, tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, bytes]]:
    """Every file of two runs, the questions read anew in each."""
    return [dict(_ran(labels, tmp_path_factory.mktemp("kept"), tmp_path_factory.mktemp("docs"))) for _ in range(2)]


def _ran(labels: Path, keep: Path, docs: Path) -> Iterator[tuple[str, bytes]]:
    run = Run.begun(Kept(keep), labels)
    made = {"stories": STORIES, "repairs": PRICES, "varied": VARIED, **dict.fromkeys(REFITS, OUTCOMES)}
    for part in run.parts:
        if part.name in made:
            run.kept.get(part.name, part.digest, lambda name=part.name: made[name])
    assert main(["--labels", str(labels), "--keep", str(keep), "--docs", str(docs), "--workers", "1"]) == 0
    for file in sorted(docs.rglob("*")):
        if file.is_file():
            yield str(file.relative_to(docs)), file.read_bytes()


def test_two_runs_write_the_same_bytes(reports: list[dict[str, bytes]]) -> None:
    one, other = reports
    assert {"report.md", "report.html", "report/scores.svg", "report/risk.svg"} <= one.keys()
    assert one == other


def test_locked_questions_are_counted_and_never_listed(reports: list[dict[str, bytes]]) -> None:
    told = b"".join(reports[0].values()).decode()
    locked = [item for item in DOZEN if part_of(item["id"], "demo") == "locked"]
    tuned = [item for item in DOZEN if part_of(item["id"], "demo") == "tuning"]
    assert locked and f"locked ({len(locked)})" in told
    assert not any(item["text"] in told or f"**{item['id']}**" in told for item in locked)
    assert any(f"**{item['id']}**" in told for item in tuned)


def test_the_page_fetches_nothing(reports: list[dict[str, bytes]]) -> None:
    page = reports[0]["report.html"].decode()
    assert not any(sign in page for sign in ("<script", "<link", "<img", 'src="', "@import", "<iframe"))


def test_the_report_links_only_what_is_beside_it(reports: list[dict[str, bytes]]) -> None:
    text = reports[0]["report.md"].decode()
    linked = {part.partition(")")[0] for part in text.split("](report/")[1:]}
    assert linked and {f"report/{name}" for name in linked} == {n for n in reports[0] if n.startswith("report/")}

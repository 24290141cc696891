"""How sturdy: what it is tested against, the same told otherwise, and what happens when things break."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator, Mapping
from pathlib import Path

from eval.everything.groups import Everything, cases
from eval.everything.variation import Varied
from eval.everything.writing import Piece, Section
from eval.figures import FIGURES
from eval.metrics_drafts import untraceable
from eval.tables import number, percent, share, table

ROOT = Path(__file__).parents[2]
PAGES = {"faults.md": "what happens when disk, model, database or clock fail", "mailbox.md": "the mailbox"}


def sturdy(every: Everything, varied: Mapping[str, Varied]) -> Section:
    """Tests by kind; unseen against tuned; untraced sentences; variations of the same question."""
    lost = share(untraceable([item.draft for item in every.asked]))
    links = [f"[{says}]({name})" for name, says in PAGES.items() if (ROOT / "docs" / name).is_file()]
    pieces: list[Piece] = [
        f"Sentences of drafts that cannot be found where they say they are from: {lost}. {_drop(every)}",
        "Stated and tested elsewhere: " + ", ".join(links) + "." if links else "",
        "### Tests, by what they stand on",
        table(["folder", "tests", "of these on properties", "cases in tables"], _tests()),
        "A property is checked on hundreds of made inputs each run; a table's cases count each as one.",
    ]
    if varied:
        rows = [
            [kind, str(v.questions), *(number(one) for one in v.facts), *(percent(one) for one in v.standing)]
            for kind, v in varied.items()
        ]
        header = ["told otherwise", "questions", "facts F1 before", "after", "same standing before", "after"]
        pieces += ["### The same told otherwise: labels stay, words change", table(header, rows)]
    return Section("How sturdy", tuple(piece for piece in pieces if piece))


def _drop(every: Everything) -> str:
    """How much is lost from the questions tuned on to a shop never seen."""
    if not (every.unseen and every.tuned):
        return ""
    told = []
    for figure in FIGURES:
        if figure.name in ("closed facts, F1", "right answer first", "dangers noted, recall"):
            new, old = (figure.measure(cases(group)).value or 0.0 for group in (every.unseen, every.tuned))
            told.append(f"{figure.name} {100 * (new - old):+.0f} points")
    return f"From the questions tuned on to a shop never seen: {', '.join(told)}."


def _tests() -> list[list[str]]:
    """Test functions, those on properties, and the rows of their tables, by folder; nothing is run."""
    seen: Counter[tuple[str, str]] = Counter()
    for file in sorted((ROOT / "tests").rglob("test_*.py")):
        place = file.relative_to(ROOT / "tests").parts
        folder = place[0] if len(place) > 1 else "whole program"
        for kind in _kinds(file):
            seen[folder, kind] += 1
            seen["all", kind] += 1
    folders = ["all", *sorted({folder for folder, _ in seen} - {"all"})]
    return [[folder, *(str(seen[folder, kind]) for kind in ("test", "property", "row"))] for folder in folders]


def _kinds(file: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            yield "test"
            for mark in node.decorator_list:
                yield from _marked(mark)


def _marked(mark: ast.expr) -> Iterator[str]:
    """A property, or a row for every case written out in a table."""
    name = ast.unparse(mark.func) if isinstance(mark, ast.Call) else ""
    if name.endswith("given"):
        yield "property"
    if isinstance(mark, ast.Call) and name.endswith("parametrize") and len(mark.args) > 1:
        rows = mark.args[1]
        yield from ("row" for _ in (rows.elts if isinstance(rows, ast.List | ast.Tuple) else ()))

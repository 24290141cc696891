"""The whole report in a few lines."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from eval import metrics_drafts, metrics_hazards, metrics_matching
from eval.benchmark.one import ENCODER, PROGRAM
from eval.everything.groups import Everything, cases
from eval.everything.writing import Section, figure
from eval.figures import FIGURES, first_of, none_fits
from eval.tables import percent, share


def short(every: Everything, benchmark: Path) -> Section:
    """How good, how sure, how safe, how fast, how true: one line each."""
    lost = share(metrics_drafts.untraceable([item.draft for item in every.asked]))
    told = {"How good": _good(every), "How sure": _sure(every), "How safe": _safe(every)}
    if benchmark.is_file():
        told["How fast"] = _fast(json.loads(benchmark.read_text(encoding="utf-8")))
    told["How true to its sources"] = f"Sentences of drafts not found where they say they are from: {lost}."
    lines = "\n".join(f"- **{name}.** {says}" for name, says in told.items() if says)
    return Section("In short", ("On a shop nobody who works on the program has looked at:", lines))


def _good(every: Everything) -> str:
    found = cases(every.unseen)
    facts = next(item for item in FIGURES if item.name == "closed facts, F1").measure(found)
    first, three = (figure(first_of("program", n)(found), percent=True) for n in (1, 3))
    plain = figure(first_of("BM25", 1)(found), percent=True, interval=False)
    return f"Right answer first {first}, among three {three}; words alone (BM25) {plain}. Facts F1 {figure(facts)}."


def _sure(every: Everything) -> str:
    found = cases(every.unseen)
    own = metrics_matching.answered(found)
    return (
        f"It proposes an answer by itself for {percent(own.covered.value)} of the questions, of which "
        f"{percent(own.wrong.value)} are wrong; a person looks at all before anything is sent. That nothing fits it "
        f"tells with an AUROC of {figure(none_fits()(found))}."
    )


def _safe(every: Everything) -> str:
    found = cases(every.unseen)
    total, calm = metrics_hazards.total(found), metrics_hazards.false_alarms(found, urgent=True)
    shown = percent(metrics_hazards.shown_at_all(found).value)
    return (
        f"Of the dangers told it notes {percent(total.recall)} as told and shows {shown} in some way; of what it notes "
        f"{percent(total.precision)} is labelled. Calm questions called pressing: {percent(calm.value)}."
    )


def _fast(kept: Mapping[str, Any]) -> str:
    rows = {row["way"]: row for row in kept.get("ways", {}).get("found", {}).get("rows", ()) if "not_done" not in row}
    told = []
    if PROGRAM in rows and ENCODER in rows:
        own, limit = rows[PROGRAM], rows[ENCODER]
        told.append(
            f"A whole reading takes {own['warm_ms']:.0f} ms, its sentence encoder alone {limit['warm_ms']:.0f}; first "
            f"answer {own['cold_s']:.1f} s after the start, in {own['peak_mib']:.0f} MiB."
        )
    grown = [r for r in kept.get("answers", {}).get("found", ()) if r["way"] == PROGRAM and "not_done" not in r]
    if grown:
        told.append(f"Over {grown[-1]['answers']:,} answers: {grown[-1]['warm_ms']:.0f} ms.")
    stored = [row for row in kept.get("messages", {}).get("found", ()) if "not_done" not in row]
    if stored:
        last = stored[-1]
        told.append(
            f"With {last['messages']:,} messages: the list {last['list_ms']:.0f} ms, a thread {last['open_ms']:.1f}."
        )
    return " ".join(told)

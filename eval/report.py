"""The report: what was measured, by part, shop and voice, beside what simple rankers reach."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import get_args

from eval import (
    metrics_conflicts,
    metrics_facts,
    metrics_gaps,
    metrics_hazards,
    metrics_matching,
    metrics_symptoms,
    metrics_told,
)
from eval.calibration import expected_error, largest_error
from eval.cases import PROGRAM, Case
from eval.counts import Counts
from eval.labels import Voice
from eval.mistakes import visible
from eval.tables import COUNTS_HEADER, counts, number, percent, share, table
from triage.model import Decision, Standing

Cases = Sequence[Case]


def report(cases: Cases, *, show_locked: bool = False) -> str:
    """The whole report as Markdown; questions of the locked part are counted, never shown, unless asked for."""
    parts = [
        "# How often the program is right", _about(cases), _overview(cases), _matching(cases), _sure(cases),
        _decisions(cases), _facts(cases), _standings(cases), _told(cases), _hazards(cases), _gaps(cases),
        _serious(cases, show_locked), _symptoms(visible(cases, show_locked=show_locked)),
    ]  # fmt: skip
    return "\n\n".join(parts) + "\n"


def _about(cases: Cases) -> str:
    sizes = {name: len(group) for name, group in _slices(cases)}
    told = ", ".join(f"{name} {size}" for name, size in sizes.items())
    return (
        f"Questions: {told}. The part is decided by a hash of the question's id; the locked part is not looked at "
        "while the program is changed. Shares carry Wilson's 95 % interval. A dash stands where nothing can be said."
    )


def _slices(cases: Cases) -> list[tuple[str, Cases]]:
    """All cases, then each part, shop and voice that has any."""
    named: list[tuple[str, Cases]] = [("all", cases)]
    named += [(part, [c for c in cases if c.part == part]) for part in ("tuning", "locked")]
    named += [(f"{shop} shop", [c for c in cases if c.shop == shop]) for shop in sorted({c.shop for c in cases})]
    named += [(voice, [c for c in cases if c.gold.voice == voice]) for voice in get_args(Voice)]
    return [(name, group) for name, group in named if group]


_OVERVIEW: tuple[tuple[str, Callable[[Cases], str]], ...] = (
    ("questions", lambda cases: str(len(cases))),
    ("facts F1", lambda cases: number(metrics_facts.total(cases).f1)),
    ("same standing", lambda cases: percent(metrics_facts.standing_share(cases).value)),
    ("symptoms F1", lambda cases: number(metrics_symptoms.total(cases).f1)),
    ("intent", lambda cases: percent(metrics_told.intent_share(cases).value)),
    ("right first", lambda cases: percent(metrics_matching.right_within(cases, 1).value)),
    ("among three", lambda cases: percent(metrics_matching.right_within(cases, 3).value)),
    ("none fits AUROC", lambda cases: number(metrics_matching.none_fits(cases))),
    ("decision", lambda cases: percent(metrics_matching.decision_share(cases).value)),
    ("hazard recall", lambda cases: number(metrics_hazards.total(cases).recall)),
    ("hazard precision", lambda cases: number(metrics_hazards.total(cases).precision)),
    ("decisive first", lambda cases: percent(metrics_gaps.decisive_first(cases).value)),
)


def _overview(cases: Cases) -> str:
    header = ["", *(name for name, _ in _OVERVIEW)]
    rows = [[name, *(measure(group) for _, measure in _OVERVIEW)] for name, group in _slices(cases)]
    return "## Overview\n\n" + table(header, rows)


def _matching(cases: Cases) -> str:
    header = ["ranker", "right first", "among three", "none fits AUROC", "only it is right", "only the program is"]
    rows = [_ranker_row(cases, name) for name in (PROGRAM, *(cases[0].others if cases else ()))]
    return (
        "## The right answer\n\nOver the questions that have an answer; an answer labelled as also acceptable counts. "
        "'None fits' is told by how weak the best answer is.\n\n" + table(header, rows)
    )


def _ranker_row(cases: Cases, name: str) -> list[str]:
    with_answer = [case for case in cases if case.gold.answer is not None]
    pairs = [(metrics_matching.is_right(c, 1), metrics_matching.is_right(c, 1, name)) for c in with_answer]
    wins = sum(other and not program for program, other in pairs)
    losses = sum(program and not other for program, other in pairs)
    within = [share(metrics_matching.right_within(cases, first, name)) for first in (1, 3)]
    return [name, *within, number(metrics_matching.none_fits(cases, name)), str(wins), str(losses)]


def _sure(cases: Cases) -> str:
    own = metrics_matching.answered(cases)
    rows = [["the program's own decision", share(own.covered), share(own.wrong), "", "", ""]]
    for coverage in metrics_matching.COVERAGES:
        item = metrics_matching.at_coverage(cases, coverage)
        least = f"{metrics_matching.least_wrong(cases, coverage):.1%}"
        word = share(metrics_matching.words_at_coverage(cases, coverage).wrong)
        figures = [share(item.covered), share(item.wrong), least, number(item.threshold), word]
        rows.append([f"the surest {coverage:.0%}", *figures])
    bins = metrics_matching.bins(cases)
    reliability = [[f"from {b.low:.1f}", str(b.count), number(b.confidence), number(b.accuracy)] for b in bins]
    errors = f"{number(expected_error(bins))}, largest {number(largest_error(bins))}"
    return (
        "## How sure it may be\n\nWrong: the best answer is not an accepted one, or no answer fits. Least: what would "
        "be wrong if every right answer were surer than every wrong one; questions that no answer fits set a floor. "
        "Its word: the best answer, or that none fits where that is likelier.\n\n"
        + table(["answered", "of all questions", "wrong of those", "least", "from probability", "its word wrong"], rows)
        + f"\n\nExpected calibration error over 10 bins: {errors} (biased upwards for few questions). AUROC of 'none "
        f"fits' by the probability left for none: {number(metrics_matching.none_fits_rest(cases))}.\n\n"
        + table(["probability of the best", "questions", "mean probability", "share right"], reliability)
    )


def _decisions(cases: Cases) -> str:
    seen = metrics_matching.decisions(cases)
    rows = [[gold.value, *(str(seen[gold, got]) for got in Decision)] for gold in Decision]
    total = share(metrics_matching.decision_share(cases))
    return f"## Decisions\n\nAs labelled: {total}. Rows: labelled; columns: decided.\n\n" + table(
        ["labelled", *(got.value for got in Decision)], rows
    )


def _facts(cases: Cases) -> str:
    names = metrics_facts.by_name(cases)
    rows = [["all", *counts(sum(names.values(), Counts()))], *([name, *counts(item)] for name, item in names.items())]
    return (
        "## Facts\n\nName and value of facts that hold. What the catalogue alone infers is neither right nor wrong, "
        "and does not stand in for what the words tell.\n\n" + table(["fact", *COUNTS_HEADER], rows)
    )


def _standings(cases: Cases) -> str:
    seen = metrics_facts.standings(cases)
    rows = [[gold.value, *(str(seen[gold, got]) for got in Standing)] for gold in Standing]
    same = share(metrics_facts.standing_share(cases))
    return f"## Standing\n\nThe same, of facts found in both: {same}. Rows: labelled; columns: read.\n\n" + table(
        ["labelled", *(got.value for got in Standing)], rows
    )


def _told(cases: Cases) -> str:
    rows = [["symptom", *counts(metrics_symptoms.total(cases))]]
    rows += [[kind, *counts(metrics_told.counts_of(cases, kind))] for kind in metrics_told.KINDS]
    rows.append(["conflict (is there one)", *counts(metrics_conflicts.total(cases))])
    intent = share(metrics_told.intent_share(cases))
    return (
        f"## What else was told\n\nIntent right: {intent}. Symptoms are scored where they are labelled "
        "by id; measurements by figure and unit; work and modifications by likeness of the wording.\n\n"
        + table(["", *COUNTS_HEADER], rows)
    )


def _hazards(cases: Cases) -> str:
    named = metrics_hazards.by_hazard(cases)
    rows = [["all", *counts(sum(named.values(), Counts()))], *([name, *counts(item)] for name, item in named.items())]
    lines = [
        f"Shown in any way, with those of the proposed work: {share(metrics_hazards.shown_at_all(cases))}.",
        f"False alarms on calm questions: {share(metrics_hazards.false_alarms(cases))}; of these to be handed over: "
        f"{share(metrics_hazards.false_alarms(cases, urgent=True))}.",
    ]
    return "## Hazards\n\n" + " ".join(lines) + "\n\n" + table(["hazard", *COUNTS_HEADER], rows)


def _gaps(cases: Cases) -> str:
    rows = [
        ["deciding fact asked first", share(metrics_gaps.decisive_first(cases))],
        ["deciding fact asked at all", share(metrics_gaps.decisive_asked(cases))],
        ["facts asked for that were told", share(metrics_gaps.asked_again(cases))],
    ]
    return "## What is asked back\n\n" + table(["", "share"], rows)


def _serious(cases: Cases, show_locked: bool) -> str:
    own = metrics_matching.answered(cases)
    shown = [
        f"- {case.shop} {case.gold.id}: {metrics_facts.shown(gold)} was read as {metrics_facts.shown(found)}"
        for case in visible(cases, show_locked=show_locked)
        for gold, found in metrics_facts.taken_as_true(case)
    ]
    lines = [
        "## Serious mistakes",
        "Facts denied, planned, past or of another vehicle that were taken as true: "
        f"{share(metrics_facts.serious_share(cases))}.",
        f"Wrong answers the program decided to give: {own.wrong.part} of {len(cases)} questions.",
        "\n".join(shown) or "None to show.",
    ]
    return "\n\n".join(lines)


def _symptoms(cases: Cases) -> str:
    named = metrics_symptoms.by_symptom(cases)
    rows: Iterable[list[str]] = ([name, *counts(item)] for name, item in named.items())
    return "## Symptoms one by one\n\nOf the questions that may be looked at.\n\n" + table(
        ["symptom", *COUNTS_HEADER], rows
    )

"""What is read of a question: facts by name and standing, what else was told, dangers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from eval import metrics_conflicts, metrics_facts, metrics_hazards, metrics_symptoms, metrics_told
from eval.cases import Case
from eval.counts import Counts
from eval.everything.groups import Everything, cases
from eval.everything.parts import Stories
from eval.everything.writing import Section
from eval.metrics_facts import pair_standings
from eval.tables import NOTHING, number, percent, share, table
from triage.model import Standing

_COLUMNS = ("precision", "recall", "F1", "labelled")


def facts(every: Everything) -> Section:
    """Closed facts by name, then by name and standing."""
    kept, tuned = cases(every.kept), cases(every.tuned)
    named, seen = metrics_facts.by_name(kept), metrics_facts.by_name(tuned)
    rows = [["all", *_cells(sum(named.values(), Counts())), number(metrics_facts.total(tuned).f1)]]
    rows += [[name, *_cells(item), number(seen[name].f1)] for name, item in named.items()]
    serious = share(metrics_facts.serious_share(kept))
    return Section(
        "Facts by name and standing",
        (
            f"On the {len(kept)} questions not tuned on. A fact counts when its name and value are right and it holds. "
            f"Denied, planned, past or another's facts taken as true: {serious}.",
            table(["fact", *_COLUMNS, "F1 where tuned on"], rows),
            "### Found with the right value and standing, of those labelled",
            table(["fact", *(standing.value for standing in Standing)], _by_standing(kept)),
            "### Labelled standing (rows) and the standing read (columns)",
            _confusion(kept),
        ),
    )


def _cells(item: Counts) -> list[str]:
    shares = [number(value) for value in (item.precision, item.recall, item.f1)]
    return [*shares, str(item.true + item.missed)]


def _by_standing(group: Sequence[Case]) -> list[list[str]]:
    there: defaultdict[tuple[str, Standing], int] = defaultdict(int)
    found: defaultdict[tuple[str, Standing], int] = defaultdict(int)
    for case in group:
        for fact in case.gold.facts:
            there[fact.name, fact.standing] += 1
        for gold, read in pair_standings(case).pairs:
            found[gold.name, gold.standing] += gold.standing is read.standing
    rows = {name: [(found[name, s], there[name, s]) for s in Standing] for name in metrics_facts.NAMES}
    columns = list(zip(*rows.values(), strict=True))
    totals = [(sum(part for part, _ in column), sum(whole for _, whole in column)) for column in columns]
    return [[name, *(_of(*cell) for cell in cells)] for name, cells in {"all": totals, **rows}.items()]


def _of(part: int, whole: int) -> str:
    return f"{part} of {whole}" if whole else NOTHING


def _confusion(group: Sequence[Case]) -> str:
    seen = metrics_facts.standings(group)
    rows = [[gold.value, *(str(seen[gold, got]) for got in Standing)] for gold in Standing]
    return table(["", *(got.value for got in Standing)], rows)


def told(every: Everything) -> Section:
    """Symptoms, conflicts, work, changes, readings, what is wanted."""
    rows = [[name, *_told(cases(group))] for name, group in every.main]
    worst = _symptom_rows(cases(every.kept))
    return Section(
        "Symptoms, conflicts, and what else was told",
        (
            "F1 of each kind. Symptoms are scored by id (the second shop labels them in plain words and is left out), "
            "measurements by figure and unit, work and modifications by likeness of the wording, conflicts by whether "
            "one is seen where one is.",
            table(["", "symptoms", *metrics_told.KINDS, "conflict", "intent right"], rows),
            "### Symptoms told five times or more in questions not tuned on",
            table(["symptom", *_COLUMNS], worst),
        ),
    )


def _told(group: Sequence[Case]) -> list[str]:
    kinds = [number(metrics_told.counts_of(group, kind).f1) for kind in metrics_told.KINDS]
    others = [number(metrics_conflicts.total(group).f1), percent(metrics_told.intent_share(group).value)]
    return [number(metrics_symptoms.total(group).f1), *kinds, *others]


def _symptom_rows(group: Sequence[Case]) -> list[list[str]]:
    named = metrics_symptoms.by_symptom(group)
    often = {name: item for name, item in named.items() if item.true + item.missed >= 5}
    return [[name, *_cells(item)] for name, item in sorted(often.items(), key=lambda pair: -(pair[1].f1 or 0.0))]


def dangers(every: Everything, stories: Stories) -> Section:
    """Dangers noted, missed and made up, by hazard; the stories."""
    kept = cases(every.kept)
    rows = [[name, *_alarms(cases(group))] for name, group in every.main]
    named = metrics_hazards.by_hazard(kept)
    return Section(
        "Dangers",
        (
            "A danger the asker reports, or is about to meet, is to be noted; calm questions are to be left calm.",
            table(["", "recall", "precision", "shown in any way", "calm, noted", "calm, to be handed over"], rows),
            f"Dangers told in passing in stories kept for testing: noted {number(stories.noted.recall)} of them at a "
            f"precision of {number(stories.noted.precision)}; {stories.pressed} of {stories.dangerous} dangerous "
            f"messages and {stories.calm_pressed} of {stories.calm} calm ones were called pressing.",
            "### By hazard, questions not tuned on",
            table(["hazard", *_COLUMNS], [[name, *_cells(item)] for name, item in named.items()]),
        ),
    )


def _alarms(group: Sequence[Case]) -> list[str]:
    total = metrics_hazards.total(group)
    shares = (
        metrics_hazards.shown_at_all(group), metrics_hazards.false_alarms(group),
        metrics_hazards.false_alarms(group, urgent=True),
    )  # fmt: skip
    return [number(total.recall), number(total.precision), *(percent(item.value) for item in shares)]

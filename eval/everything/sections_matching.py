"""The right answer or none: rankers side by side, what each group of features is worth, and how sure it may be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from eval import metrics_matching
from eval.ablation import Outcome
from eval.calibration import auroc, expected_error, largest_error, reliability
from eval.cases import PROGRAM, Case
from eval.everything import pictures
from eval.everything.groups import Everything, cases
from eval.everything.writing import Picture, Section, figure
from eval.figures import Value, first_of, none_fits
from eval.resample import bootstrap
from eval.tables import number, percent, share, table
from triage.model import Decision

Ablated = Mapping[str, Sequence[Outcome]]


def matching(every: Everything) -> Section:
    """The program against the simple rankers on the same questions."""
    pieces: list[str | Picture] = [
        "Over the questions that have an answer; an answer labelled as also acceptable counts. 'None fits' (AUROC) is "
        "told by how weak the best answer is. Intervals: 95 %, bootstrap over questions; the difference is paired."
    ]
    for name, group in every.main:
        found = cases(group)
        rankers = [PROGRAM, *found[0].others]
        header = ["ranker", "right first", "among three", "none fits", "the program is better by"]
        pieces += [f"### {name}: {len(found)} questions", table(header, [_ranker(found, r) for r in rankers])]
    kept = cases(every.kept)
    bars = [(_called(ranker), first_of(ranker, 1)(kept)) for ranker in (PROGRAM, *kept[0].others)] if kept else []
    if bars:
        alt = "Share of right first answers of the program and of the simple rankers, with intervals"
        shown = pictures.bars(bars, "right answer first, questions not tuned on", upto=1.0)
        pieces.insert(1, Picture("rankers", shown, alt))
    return Section("The right answer", tuple(pieces))


def _called(ranker: str) -> str:
    return "the program" if ranker == PROGRAM else ranker


def _ranker(group: Sequence[Case], ranker: str) -> list[str]:
    shares = [figure(first_of(ranker, first)(group), percent=True) for first in (1, 3)]
    return [_called(ranker), *shares, figure(none_fits(ranker)(group)), _better(group, ranker)]


def _better(group: Sequence[Case], ranker: str) -> str:
    asked = [case for case in group if case.gold.answer is not None]
    if ranker == PROGRAM or not asked:
        return "–"
    ours, theirs = ([metrics_matching.is_right(case, 1, name) for case in asked] for name in (PROGRAM, ranker))
    return _points([float(one) - float(other) for one, other in zip(ours, theirs, strict=True)])


def _points(differences: Sequence[float]) -> str:
    low, high = bootstrap(differences)
    return f"{100 * float(np.mean(differences)):+.1f} ({100 * low:+.1f} to {100 * high:+.1f}) points"


def ablation(found: Ablated) -> Section:
    """The ranker refitted without each group of features, and with it alone."""
    full = found["all"]
    changes = [(name, _change(full, judged)) for name, judged in found.items() if name.startswith("without ")]
    alone = [(name, _change(full, judged)) for name, judged in found.items() if name.endswith(" alone")]
    header = ["features", "right first", "change", "among three", "none fits", "calibration error", "wrong at 80 %"]
    alt = "Change in right first answers when a group of features is left out, with intervals"
    return Section(
        "What each part of matching is worth",
        (
            "Every shop is judged by a ranker fitted on the other ones, on tuning questions; answers as a spreadsheet "
            "brings them. The change is paired, in percentage points of right first answers, with its interval.",
            Picture("ablation", pictures.differences([*changes, *alone], "points of right first, against all"), alt),
            table(header, [_ablated(name, full, judged) for name, judged in found.items()]),
        ),
    )


def _rights(judged: Sequence[Outcome]) -> list[float]:
    return [float(item.right) for item in judged if not item.none]


def _change(full: Sequence[Outcome], judged: Sequence[Outcome]) -> Value:
    differences = [one - other for one, other in zip(_rights(judged), _rights(full), strict=True)]
    return Value(float(np.mean(differences)), bootstrap(differences), len(differences))


def _ablated(name: str, full: Sequence[Outcome], judged: Sequence[Outcome]) -> list[str]:
    asked = [item for item in judged if not item.none]
    bins = reliability([item.best for item in judged], [item.right for item in judged])
    surest = sorted(judged, key=lambda item: -item.best)[: round(0.8 * len(judged))]
    change = "–" if name == "all" else _points([a - b for a, b in zip(_rights(judged), _rights(full), strict=True)])
    return [
        name, percent(float(np.mean(_rights(judged)))), change,
        percent(float(np.mean([item.three for item in asked]))),
        number(auroc([item.none for item in judged], [-item.best for item in judged])), number(expected_error(bins)),
        percent(float(np.mean([not item.right for item in surest]))),
    ]  # fmt: skip


def sureness(every: Everything) -> Section:
    """Risk against coverage, and calibration."""
    groups = [(name, cases(group)) for name, group in every.main]
    own = {name: metrics_matching.answered(found) for name, found in groups}
    dots = {name: (item.covered.value or 0.0, item.wrong.value or 0.0) for name, item in own.items()}
    bins = {name: metrics_matching.bins(found) for name, found in groups}
    rows = [[name, share(own[name].covered), share(own[name].wrong), *_at(found)] for name, found in groups]
    errors = [[n, number(expected_error(table_)), number(largest_error(table_))] for n, table_ in bins.items()]
    covers = [f"wrong of the surest {coverage:.0%}" for coverage in metrics_matching.COVERAGES]
    return Section(
        "When it may answer by itself, and is its probability worth its name?",
        (
            "Wrong: the best answer is not an accepted one, or no answer fits. The surest first; what it leaves out it "
            "asks about, hands over, or says it has no answer for.",
            Picture("risk", pictures.risk({n: _curve(found) for n, found in groups}, dots), "Risk and coverage curves"),
            table(["", "answers by itself", "wrong of those", *covers], rows),
            Picture("calibration", pictures.calibration(bins), "Share right against the probability told"),
            table(["", "expected calibration error", "largest"], errors),
        ),
    )


def _at(group: Sequence[Case]) -> list[str]:
    return [percent(metrics_matching.at_coverage(group, c).wrong.value) for c in metrics_matching.COVERAGES]


def _curve(group: Sequence[Case]) -> tuple[list[float], list[float]]:
    """Share answered and share wrong of these, from twenty questions on: of fewer the share says little."""
    ordered = sorted(group, key=lambda case: (-case.ranking().best, case.shop, case.gold.id))
    wrong = np.cumsum([not metrics_matching.is_right(case) for case in ordered])
    counts = np.arange(1, len(ordered) + 1)
    begin = min(20, len(ordered)) - 1
    return (counts / len(ordered))[begin:].tolist(), (wrong / counts)[begin:].tolist()


def decisions(every: Everything) -> Section:
    """Answer, ask, hand over or no answer: labelled against decided."""
    pieces = []
    for name, group in every.main:
        seen = metrics_matching.decisions(cases(group))
        rows = [[gold.value, *(str(seen[gold, got]) for got in Decision)] for gold in Decision]
        total = share(metrics_matching.decision_share(cases(group)))
        pieces.append(f"{name}, as labelled: {total}\n\n{table(['labelled', *(got.value for got in Decision)], rows)}")
    return Section("What it decides to do", ("Rows: as labelled; columns: as decided.", *pieces))

"""What a stranger reads first: how good it is beside what was wanted and what can be had, and what is weakest."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from eval.cases import Case
from eval.everything import pictures
from eval.everything.groups import Everything, cases, shop
from eval.everything.writing import Picture, Section, figure
from eval.figures import FIGURES, Figure, Value, first_of, none_fits
from eval.labels import Labelled
from eval.second_labeler import SHOP, as_cases
from eval.tables import NOTHING, table

_CHANCES = frozenset({"calibration error", "wrong of the surest 80 %", '"none fits", AUROC'})
WEAKEST = 5


def headline(every: Everything, second: Mapping[str, Labelled]) -> Section:
    """Every figure: aim, unseen, locked, tuned on, the second labeler, and the simplest other way."""
    groups = [(name, cases(group)) for name, group in every.main]
    ceiling = as_cases(cases(shop(SHOP, every)), second)
    columns = {name: [item.measure(found) for item in FIGURES] for name, found in groups}
    people = [item.measure(ceiling) if item.name not in _CHANCES else _NONE for item in FIGURES]
    first = groups[0][1] if groups else []
    header = ["", "aim", *(f"{name} ({len(found)})" for name, found in groups), f"second labeler ({len(ceiling)})"]
    rows = [
        [f.name, _aim(f), *(_cell(f, found[row]) for found in (*columns.values(), people)), _plain(f, first)]
        for row, f in enumerate(FIGURES)
    ]  # fmt: skip
    shown = [row for row, item in enumerate(FIGURES) if not item.less_is_better]
    picked = {n: [c[row] for row in shown] for n, c in {**columns, "second labeler": people}.items()}
    drawn = pictures.scores([FIGURES[row] for row in shown], picked)
    return Section(
        "How good",
        (
            "The column to believe is the first: a whole invented shop brought in by two spreadsheets, its questions "
            "written and labelled by somebody who knew nothing of the program, never looked at since. Intervals are "
            "95 %, bootstrap over questions. The second labeler shows what two people reading the same guide agree "
            "on: the program cannot be measured beyond that. Work and changes are labelled in free words and compared "
            "by likeness: two people who mean the same seldom write the same, so that these two figures are low for "
            "both.",
            Picture("scores", drawn, "Each figure on the unseen shop with its interval, its aim, and two labelers"),
            table([*header, "BM25"], rows),
            f"Weakest, by the share of the way to the aim that is missing on the unseen shop: {_weakest(columns)}.",
        ),
    )


_NONE = Value(None, None, 0)


def _cell(of: Figure, item: Value) -> str:
    return figure(item, percent=of.percent)


def _aim(item: Figure) -> str:
    if item.aim is None:
        return NOTHING
    return f"{100 * item.aim:.0f} %" if item.percent else f"{item.aim:.2f}"


def _plain(item: Figure, group: Sequence[Case]) -> str:
    """What words alone reach, where they can be asked the same."""
    others = {
        "right answer first": first_of("BM25", 1), "right answer among three": first_of("BM25", 3),
        '"none fits", AUROC': none_fits("BM25"),
    }  # fmt: skip
    return _cell(item, others[item.name](group)) if item.name in others and group else NOTHING


def _weakest(columns: Mapping[str, Sequence[Value]]) -> str:
    values = next(iter(columns.values()), ())
    missing = [
        (_missing(item, value.value), item.name)
        for item, value in zip(FIGURES, values, strict=False)
        if item.aim is not None and value.value is not None
    ]
    return ", ".join(f"{name} ({100 * share:.0f} %)" for share, name in sorted(missing, reverse=True)[:WEAKEST])


def _missing(item: Figure, value: float) -> float:
    """0 where the aim is met, 1 where nothing was reached; of errors, how much of the way down from all wrong."""
    aim = item.aim or 0.0
    gap = (value - aim) / (1.0 - aim) if item.less_is_better else (aim - value) / aim
    return max(0.0, gap)

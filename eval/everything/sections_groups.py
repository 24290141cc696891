"""By voice and vehicle, two labelers, and every mistake that may be looked at."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from eval.cases import Case
from eval.everything import pictures
from eval.everything.groups import Everything, by_vehicle, by_voice, cases, shop
from eval.everything.writing import Folded, Picture, Section, figure
from eval.figures import FIGURES, Figure, Value
from eval.labels import Labelled
from eval.mistakes import mistakes_of, visible
from eval.second_labeler import SHOP, Agreement, Pair, agreements, as_cases
from eval.tables import number, table

_SHOWN = (
    "closed facts, F1", "same standing", "symptoms, F1", "intent", "right answer first", "right answer among three",
    "decision", "dangers noted, recall", "dangers noted, precision",
)  # fmt: skip
_SHORT = ("facts", "standing", "symptoms", "intent", "first", "three", "decision", "dangers\nrecall", "precision")
_MOST_SAID = 400  # characters of what was expected or got


def kinds(every: Everything) -> Section:
    """The same figures by how the asker writes and by the kind of vehicle."""
    pieces: list[str | Picture] = ["Over the questions not tuned on; groups are small, and their intervals wide."]
    for name, groups in (("voices", by_voice(every.kept)), ("vehicles", by_vehicle(every.kept))):
        figures = [figure for figure in FIGURES if figure.name in _SHOWN]
        values = [[figure.measure(cases(group)) for figure in figures] for _, group in groups]
        rows = [f"{kind} ({len(group)})" for kind, group in groups]
        drawn = pictures.heat(rows, _SHORT, [[item.value for item in row] for row in values], f"By {name[:-1]}")
        pieces.append(Picture(name, drawn, f"Figures by {name[:-1]}"))
        cells = [
            [row, *(_cell(f, item) for f, item in zip(figures, found, strict=True))]
            for row, found in zip(rows, values, strict=True)
        ]
        pieces.append(table(["", *(figure.name for figure in figures)], cells))
    shops = [(name, shop(name, every)) for name in dict.fromkeys(item.case.shop for item in every.asked)]
    whole = [[f"{name} shop ({len(group)})", *_whole_row(cases(group))] for name, group in shops]
    pieces.append(table(["", *(item.name for item in FIGURES)], whole))
    return Section("By voice, by vehicle, by shop", tuple(pieces))


def _cell(of: Figure, item: Value) -> str:
    return figure(item, percent=of.percent)


def _whole_row(group: Sequence[Case]) -> list[str]:
    return [figure(item.measure(group), percent=item.percent, interval=False) for item in FIGURES]


def agreement(every: Everything, second: Mapping[str, Labelled]) -> Section:
    """Cohen's kappa, and the second labeler scored as the program is, on the same questions."""
    both = [item.case for item in shop(SHOP, every) if item.case.gold.id in second]
    pairs: list[Pair] = [(case.gold, second[case.gold.id]) for case in both]
    rows = [_agreed(item) for item in agreements(pairs)]
    theirs = as_cases(both, second)
    ceiling = [[f.name, _plain(f, theirs), _plain(f, both)] for f in FIGURES if f.name not in _NOT_SAID]
    return Section(
        "Two labelers",
        (
            f"{len(pairs)} questions of the {SHOP} shop were labelled again by somebody who saw the guide and the "
            "questions, not the first labels. Cohen's kappa with a 95 % bootstrap interval:",
            table(["", "things", "labelled alike", "kappa"], rows),
            "The second labeler scored against the first by the program's own measures, and the program on the same "
            "questions. Beyond the first column nothing can be told apart from a matter of opinion. The program was "
            "tuned on this shop, the second labeler was not: where it is above, it has learnt the first one's ways.",
            table(["", "second labeler", "program, same questions"], ceiling),
        ),
    )


_NOT_SAID = frozenset({"calibration error", "wrong of the surest 80 %", '"none fits", AUROC'})  # labels tell no chances


def _plain(of: Figure, group: Sequence[Case]) -> str:
    return figure(of.measure(group), percent=of.percent)


def _agreed(item: Agreement) -> list[str]:
    low_high = "" if item.interval is None else f" ({item.interval[0]:.2f} to {item.interval[1]:.2f})"
    return [item.what, str(item.things), f"{100 * item.same:.1f} %", f"{number(item.kappa, 2)}{low_high}"]


def mistakes(every: Everything) -> Section:
    """Every mistake of the questions that may be looked at, by kind, with the question."""
    shown = visible(cases(every.asked))
    kinds = Counter(mistake.kind for case in shown for mistake in mistakes_of(case))
    rows = [[kind, str(count)] for kind, count in sorted(kinds.items(), key=lambda pair: (-pair[1], pair[0]))]
    lists = [_folded(name, [c for c in shown if c.shop == name]) for name in dict.fromkeys(c.shop for c in shown)]
    return Section(
        "Every mistake",
        (
            f"Of the {len(shown)} questions that were tuned on. Those of locked questions and of the unseen shop are "
            "counted above and never listed, so that nobody tunes on them by accident.",
            table(["kind", "mistakes"], rows),
            *lists,
        ),
    )


def _folded(name: str, group: Sequence[Case]) -> Folded:
    texts = [text for case in group if (text := "\n".join(_listed(case)))]
    return Folded(f"mistakes-{name}", f"{name} shop: {len(texts)} questions with a mistake", "\n\n".join(texts))


def _listed(case: Case) -> Iterator[str]:
    found = list(mistakes_of(case))
    if found:
        asked = " ".join(f"{case.gold.subject} {case.gold.text}".split())
        yield f"**{case.gold.id}** ({case.gold.voice}) {_quiet(asked)}\n"
        yield from (f"- {m.kind}: expected {_quiet(_said(m.expected))}, got {_quiet(_said(m.got))}" for m in found)


def _said(value: object) -> str:
    """As JSON, shortened where it is long."""
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    return text if len(text) <= _MOST_SAID else f"{text[:_MOST_SAID]} ..."


def _quiet(text: str) -> str:
    """No sign of the text is read as Markdown."""
    return "".join(f"\\{sign}" if sign in r"\`*_{}[]<>#|~&" else sign for sign in text) or "(nothing)"

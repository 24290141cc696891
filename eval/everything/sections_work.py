"""What is asked back, what finding the fault costs, and the drafts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

import numpy as np

from eval import metrics_drafts, metrics_gaps
from eval.dialogue import MOST_ROUNDS, POLICIES, Dialogue
from eval.everything import pictures
from eval.everything.gathered import Asked
from eval.everything.groups import Everything, cases
from eval.everything.writing import Picture, Section
from eval.figures import Value
from eval.repairs import LAST_RESORT
from eval.resample import bootstrap, mean_with
from eval.tables import NOTHING, number, share, table

EASE = 60.0  # plain English on Flesch's scale begins here


def asking(every: Everything) -> Section:
    """The deciding fact, and rounds to the right answer."""
    header = ["", "deciding fact first", "deciding fact at all", "asked though told"]
    rows = [[name, *_asked(group)] for name, group in every.main]
    hard = [(name, [item for item in group if _is_hard(item)]) for name, group in every.main]
    drawn = {name: {way: _right_after(group, way) for way in POLICIES} for name, group in hard if group}
    alt = "Share of the dialogues whose best answer is right after each round, the program against a list"
    measures = ["rounds to the right answer", "rounds in all", "questions in all", "right at the end"]
    return Section(
        "What it asks back, and how many rounds it takes",
        (
            table(header, rows),
            "### Dialogues with a simulated asker",
            "Behind each question stands a vehicle of the catalogue; the asker tells what is asked for, as far as it "
            f"is known. A dialogue that is not right after {MOST_ROUNDS} rounds counts as {MOST_ROUNDS}. The other way "
            "asks for everything the best answer needs, in the order of its list. Pictured: the questions where a fact "
            "decides, or whose first reading is wrong; means with 95 % bootstrap intervals.",
            Picture("rounds", pictures.rounds(drawn), alt),
            table(["where a fact decides or the first reading is wrong", *measures], _dialogue_rows(hard)),
            table(["all questions with an answer", *measures], _dialogue_rows(_answered(every))),
        ),
    )


def _asked(group: Sequence[Asked]) -> list[str]:
    found = cases(group)
    shares = (metrics_gaps.decisive_first, metrics_gaps.decisive_asked, metrics_gaps.asked_again)
    return [share(measure(found)) for measure in shares]


def _answered(every: Everything) -> list[tuple[str, list[Asked]]]:
    return [(name, [item for item in group if item.talks]) for name, group in every.main]


def _is_hard(item: Asked) -> bool:
    ours = next(iter(POLICIES))
    return bool(item.talks) and (bool(item.case.gold.deciding) or not item.talks[ours].right[0])


def _right_after(group: Sequence[Asked], way: str) -> list[float]:
    """Share right after 0, 1, ... rounds; a dialogue that has ended stays as it is."""
    rights = [item.talks[way].right for item in group]
    return [float(np.mean([right[min(after, len(right) - 1)] for right in rights])) for after in range(MOST_ROUNDS + 1)]


def _dialogue_rows(groups: Sequence[tuple[str, Sequence[Asked]]]) -> list[list[str]]:
    return [
        [f"{name} ({len(group)}), {way}", *_dialogue([item.talks[way] for item in group])]
        for name, group in groups
        if group
        for way in POLICIES
    ]


def _dialogue(talks: Sequence[Dialogue]) -> list[str]:
    values = [
        [float(talk.rounds) for talk in talks], [float(len(talk.asked)) for talk in talks],
        [float(talk.questions) for talk in talks], [float(talk.ends_right) for talk in talks],
    ]  # fmt: skip
    return [mean_with(found) for found in values]


def diagnosis(prices: Mapping[str, list[float]]) -> Section:
    """Minutes until the fault is found."""
    own = prices["the program"]
    bars = [(name, Value(float(np.mean(found)), bootstrap(found), len(found))) for name, found in prices.items()]
    rows = [[name, mean_with(found), _more(found, own)] for name, found in prices.items()]
    alt = "Mean minutes until the fault is found, in four orders of the checks"
    return Section(
        "What finding the fault costs",
        (
            f"{len(own)} faults drawn from the pack's own network of causes, so that this tells what the order of the "
            "checks is worth where the network is right, and nothing of whether it is. A fault that no check finds "
            f"costs {LAST_RESORT:.0f} minutes more.",
            Picture("repairs", pictures.bars(bars, "minutes, mean"), alt),
            table(["order of the checks", "minutes", "more than the program's"], rows),
        ),
    )


def _more(found: Sequence[float], own: Sequence[float]) -> str:
    return NOTHING if found is own else mean_with([a - b for a, b in zip(found, own, strict=True)])


def drafts(every: Everything) -> Section:
    """Sentences that cannot be traced, ease and length."""
    rows = [[name, *_drafted(group)] for name, group in every.main]
    sources = Counter(s.source.partition(":")[0] for item in every.asked for s in item.case.reading.draft.sentences)
    eases = {
        name: [ease for item in group if (ease := item.case.reading.draft.reading_ease) is not None]
        for name, group in every.main
    }
    lengths = {name: [float(metrics_drafts.words(item.case)) for item in group] for name, group in every.main}
    made = ", ".join(f"{kind} {count}" for kind, count in sources.most_common())
    return Section(
        "Drafts",
        (
            "Every sentence names where it is from. It is looked up there: word for word in the answer, check, danger "
            "note or question it names, else by the name of its wording, conflict or finding. Sentences by source: "
            f"{made}.",
            table(["", "sentences not traced", "reading ease, median", f"under {EASE:.0f}", "words, median"], rows),
            Picture(
                "ease", pictures.spread(eases, "Flesch reading ease (dashed: plain English from here)", EASE),
                "Reading ease of the drafts",
            ),
            Picture("length", pictures.spread(lengths, "words of a draft"), "Length of the drafts"),
        ),
    )  # fmt: skip


def _drafted(group: Sequence[Asked]) -> list[str]:
    found = cases(group)
    eases = [case.reading.draft.reading_ease for case in found]
    low = float(np.mean([ease < EASE for ease in eases if ease is not None])) if eases else None
    lost = share(metrics_drafts.untraceable([item.draft for item in group]))
    ease, words = metrics_drafts.middle_ease(found), metrics_drafts.middle_words(found)
    return [lost, number(ease, 1), f"{100 * (low or 0.0):.1f} %", number(words, 0)]

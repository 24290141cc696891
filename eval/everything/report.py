"""The whole report: its sections in order, and the files it is written to."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from eval.everything import sections_groups, sections_headline, sections_matching, sections_reading, sections_work
from eval.everything.groups import Everything
from eval.everything.parts import Run
from eval.everything.sections_short import short
from eval.everything.sections_speed import speed
from eval.everything.sections_sturdy import sturdy
from eval.everything.writing import Section, html, markdown, write_beside
from eval.second_labeler import PLACE, SHOP, load_second

TITLE = "How good, how fast, how sturdy"


def sections(run: Run, benchmark: Path) -> list[Section]:
    """All sections, from kept results; what is not kept is made."""
    every = Everything.of(run.gathered())
    first = {item.case.gold.id: item.case.gold for item in every.asked if item.case.shop == SHOP}
    second = load_second(first, run.labels / PLACE)
    found = [
        short(every, benchmark), sections_headline.headline(every, second), speed(benchmark),
        sturdy(every, run.varied()), sections_matching.matching(every),
        sections_matching.ablation(run.ablated()), sections_matching.sureness(every),
        sections_matching.decisions(every), sections_reading.facts(every), sections_reading.told(every),
        sections_reading.dangers(every, run.stories()), sections_work.asking(every),
        sections_work.diagnosis(run.prices()), sections_work.drafts(every), sections_groups.kinds(every),
    ]  # fmt: skip
    if second:
        found.append(sections_groups.agreement(every, second))
    return [*found, sections_groups.mistakes(every)]


OPENING = (
    "Figures for questions to five invented shops. Made by `python -m eval.everything`; two runs over the same "
    "program, knowledge and labels write the same bytes. Speed is measured apart, by `python -m eval.benchmark`, "
    "and stands here as it was kept with its date and machine. Everything is invented: the texts are not real "
    "post, and results on them say nothing certain about a real shop's mail."
)


def write(found: Sequence[Section], folder: Path) -> None:
    """report.md and report.html, with pictures and long lists beside the first."""
    folder.mkdir(parents=True, exist_ok=True)
    write_beside(found, folder)
    (folder / "report.md").write_text(markdown(TITLE, OPENING, found), encoding="utf-8")
    (folder / "report.html").write_text(html(TITLE, OPENING, found), encoding="utf-8")

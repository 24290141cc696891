"""The simulated half year: python -m eval.half_year.run [--questions 3000] [--seed 1] [--weeks 26] [--to DIR].

A shop starts without thirty of its answers. 3,000 questions arrive over 26 weeks; staff send drafts that are right, and
write by hand from what they know where there is none, with some sentences wrong. Each week the growth room proposes,
and a simulated editor takes and refuses by simple rules. Nothing of the generator is seen by the program.
"""

from __future__ import annotations

import argparse
import json
import random
import shutil
import tempfile
from collections import defaultdict
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from time import monotonic

from eval.half_year.asking import START, WEEKS, half_year, matters
from eval.half_year.editor import Editor
from eval.half_year.keeping import keep_folder, put_back_folder, put_down, take_up
from eval.half_year.picture import svg
from eval.half_year.shop import Clock, Shop, quick
from eval.half_year.staff import mistakes, planted
from eval.half_year.weekly import Week, counted, plain, table
from triage.editor import files_of
from triage.editor_material import reader_of
from triage.engine import cache_folder, open_engine, with_answers
from triage.pack import Pack, load
from triage.pipeline import Stages
from triage.store import Store

ROOT = Path(__file__).parents[2]


def main() -> None:
    """Run it, print the weeks, and write the report and the picture."""
    wanted = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    wanted.add_argument("--questions", type=int, default=3000)
    wanted.add_argument("--weeks", type=int, default=WEEKS, help="stop after so many")
    wanted.add_argument("--seed", type=int, default=1)
    wanted.add_argument("--in", type=Path, dest="folder", help="keep the shop there, and go on from where it was left")
    wanted.add_argument("--minutes", type=float, default=60.0, help="put it down after so many")
    wanted.add_argument("--to", type=Path, default=ROOT / "docs")
    options = wanted.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        year = HalfYear(options.folder or Path(scratch), options.questions, options.seed)
        while len(year.weeks) < options.weeks and monotonic() - year.begun < 60 * options.minutes:
            year.next_week()
        weeks, report = year.weeks, year.report(year.weeks)
    options.to.mkdir(exist_ok=True, parents=True)
    (options.to / "half-year.svg").write_text(svg(weeks), encoding="utf-8")
    (options.to / "half-year.json").write_text(json.dumps(plain(weeks), indent=1) + "\n", encoding="utf-8")
    (options.to / "half-year.md").write_text(report, encoding="utf-8")
    print(report)


class HalfYear:
    """The shop's folder and queue, moved on week by week."""

    def __init__(self, folder: Path, questions: int, seed: int) -> None:
        whole = load(ROOT / "knowledge")
        self.missing = set(matters().missing)
        folder.mkdir(parents=True, exist_ok=True)
        begun = (folder / "state.json").is_file()
        if begun:
            put_back_folder(folder, len(json.loads((folder / "state.json").read_text(encoding="utf-8"))["weeks"]))
        self.pack = load(folder / "pack") if begun else lacking(whole, self.missing, folder / "pack")
        self.stages = quick(open_engine(self.pack.root), cache_folder() / "half-year")
        self.asked = half_year(whole, questions, seed)
        self.truth = {answer.id: answer for answer in whole.answers}
        clock, dice = Clock(), random.Random(seed)
        store = Store.open(folder / "queue.db", now=clock)
        known = {answer.id: {answer.id} for answer in whole.answers if answer.id not in self.missing}
        self.shop = Shop(store, clock, self.truth, planted(self.asked, dice), seed, known)
        self.editor = Editor(self.shop)
        self.reader = reader_of(self.stages)
        self.found: dict[str, int] = {}  # missing matter -> week it was found in
        self.weeks: list[Week] = []
        self.state = folder / "state.json"
        if begun:
            self.found, self.weeks = take_up(self.state, self.shop, self.editor, self.asked, mistakes())
        self.begun = monotonic()

    def next_week(self) -> None:
        """One week more, and put down."""
        self.weeks.append(self._week(len(self.weeks)))
        self.stages.encoder.save()  # type: ignore[attr-defined]  # made by `quick`
        keep_folder(self.state.parent, len(self.weeks))
        put_down(self.state, self.shop, self.editor, self.found, self.weeks)

    def _week(self, number: int) -> Week:
        """One week: questions are served, then the editor decides."""
        served = self.shop.week([one for one in self.asked if one.week == number], self.stages)
        on = START + timedelta(days=7 * number + 6)
        self.pack, counts = self.editor.week(self.stages, self.reader, self.pack, on)
        self.stages = with_base(self.stages, self.pack)
        for answer in self.pack.answers:
            for matter in self.shop.matter.get(answer.id, set()) & self.missing:
                self.found.setdefault(matter, number)
        week = counted(
            number + 1, served, self.missing, len(self.pack.answers), len(self.found), self.editor.caught(), counts
        )
        print(f"{table([week]).splitlines()[-1]} {dict(counts)} {monotonic() - self.begun:.0f} s", flush=True)
        return week

    def report(self, weeks: list[Week]) -> str:
        """What came of it, in words and as a table."""
        last, editor = weeks[-1], self.editor
        soon = sorted(self._waited().values())
        planted_now = set(self.shop.said_wrong)
        lines = [
            "# The simulated half year",
            "",
            f"{sum(week.asked for week in weeks):,} questions over {len(weeks)} weeks, {len(self.missing)} matters "
            "missing at the start. Made anew with `python -m eval.half_year.run`.",
            "",
            "![The curves](half-year.svg)",
            "",
            f"- Matters found: {last.found} of {len(self.missing)}"
            + (f"; after {soon[len(soon) // 2]} weeks in the middle, {soon[-1]} at the latest" if soon else "")
            + f". Not found: {', '.join(sorted(self.missing - set(self.found))) or 'none'}.",
            f"- Drafts with the right answer: {weeks[0].served:.0%} in the first week, {last.served:.0%} in the last.",
            f"- Contradictions planted: {len(planted_now)}; pointed out {len(editor.pointed_out)} "
            f"(recall {_shown(last.caught.recall)}), {len(editor.false)} proposals pointed at wrongly "
            f"(precision {_shown(last.caught.precision)}).",
            f"- Of those planted, {len(editor.reached)} stood in a proposal; {len(editor.entered)} got into the base.",
            f"- Refused: {', '.join(f'{n} ({why})' for why, n in editor.refusals.most_common()) or 'nothing'}.",
            "",
            table(weeks),
        ]
        return "\n".join(lines)

    def _waited(self) -> dict[str, int]:
        """Weeks from the first time a matter was asked until the base answered it."""
        first: dict[str, int] = defaultdict(int)
        for one in reversed(self.asked):
            first[one.answer] = one.week
        return {matter: week - first[matter] for matter, week in self.found.items()}


def _shown(share: float | None) -> str:
    return "none" if share is None else f"{share:.2f}"


def lacking(whole: Pack, missing: set[str], to: Path) -> Pack:
    """The shop's folder without these answers."""
    shutil.copytree(whole.root / "shop", to / "shop")
    here = replace(whole, root=to)
    for id, file in files_of(here).items():
        if id in missing:
            file.unlink()
    return load(to)


def with_base(stages: Stages, pack: Pack) -> Stages:
    """The stages over the base as it is now."""
    return with_answers(replace(stages, pack=pack), pack.answers)


if __name__ == "__main__":
    main()

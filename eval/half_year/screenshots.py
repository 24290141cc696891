"""Pictures of the answers' pages, over three weeks of the simulated half year: python -m eval.half_year.screenshots."""

from __future__ import annotations

import argparse
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from eval.bench_demo import ROOT, chromium, served
from eval.half_year.asking import START
from eval.half_year.run import HalfYear
from eval.screenshots import Picture, take
from triage.bench.office import Office
from triage.bench.settings import Settings
from triage.editor import beside, look
from triage.editor_material import reader_of
from triage.growth.proposal import Kind, State

WEEKS = 3
QUESTIONS = 400


def main() -> None:
    """Take them."""
    wanted = argparse.ArgumentParser(description=__doc__)
    wanted.add_argument("--to", type=Path, default=ROOT / "docs")
    to = wanted.parse_args().to
    with tempfile.TemporaryDirectory() as folder:
        office, chosen = answered_weeks(Path(folder))
        with served(office) as url, chromium() as browser:
            for picture in pictures(chosen):
                _worked_out(browser, url + picture.path)
                take(browser, url, picture, to / f"growth-{picture.name}.png")


def answered_weeks(folder: Path) -> tuple[Office, dict[str, int]]:
    """A workbench over the first weeks, with proposals nobody decided on yet; numbers of some worth a picture."""
    year = HalfYear(folder, QUESTIONS, seed=1)
    for number in range(WEEKS):
        year.shop.week([one for one in year.asked if one.week == number], year.stages)
    on = START + timedelta(days=7 * WEEKS)
    look(year.shop.store, year.stages, on=on)
    waiting = year.shop.store.proposals.all(State.WAITING)
    reader = reader_of(year.stages)
    odd = next(
        (p for p in waiting if p.kind is not Kind.NEW and beside(p, year.stages, reader).disagreements), waiting[0]
    )
    new = next(p for p in waiting if p.kind is Kind.NEW)
    settings = Settings(folder / "queue.db", year.pack.root, person="Una", read_new=False)
    now = datetime(on.year, on.month, on.day, 9, tzinfo=UTC)
    return Office(settings, year.stages, lambda: now), {"new": new.id, "odd": odd.id}


def pictures(chosen: dict[str, int]) -> tuple[Picture, ...]:
    """The list; a new answer; a change at odds with what stands; both again small and dark."""
    return (
        Picture("list", "/answers", 1280, 760),
        Picture("new", f"/answers/{chosen['new']}", 1280, 760),
        Picture("odd", f"/answers/{chosen['odd']}", 1280, 760),
        Picture("phone", f"/answers/{chosen['odd']}", 360, 760),
        Picture("list-phone", "/answers", 360, 760),
        Picture("dark", f"/answers/{chosen['new']}", 1280, 760, dark=True),
    )


def _worked_out(browser: Any, address: str) -> None:
    """Wait until the effect stands on the page, so that the picture shows it."""
    page = browser.new_page()
    page.goto(address)
    page.wait_for_selector("#topics, #effect table, #effect > p:not(:has(progress))", timeout=120_000)
    page.close()


if __name__ == "__main__":
    main()

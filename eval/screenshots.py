"""Pictures of the workbench for the documents, taken of the demo mailbox: python -m eval.screenshots [--to docs]."""

from __future__ import annotations

import argparse
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from eval.bench_demo import ROOT, chromium, demo_office, served
from triage.model import Decision
from triage.store import Filters, Store

MOST = 200_000  # bytes a picture


@dataclass(frozen=True, slots=True)
class Picture:
    """What is taken, and how large the window is."""

    name: str
    path: str
    width: int
    height: int
    dark: bool = False
    printed: bool = False


def main() -> None:
    """Take them all; a picture that has grown too large is an error."""
    wanted = argparse.ArgumentParser(description=__doc__)
    wanted.add_argument("--to", type=Path, default=ROOT / "docs")
    to = wanted.parse_args().to
    to.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        office = demo_office(Path(folder))
        with office.store() as store:
            wanted_pictures = pictures(store)
        with served(office) as url, chromium() as browser:
            for picture in wanted_pictures:
                take(browser, url, picture, to / f"bench-{picture.name}.png")


def pictures(store: Store) -> tuple[Picture, ...]:
    """The list; a question that contradicts itself; one that can be answered, on a phone, in the dark, on paper."""
    odd = next(t.id for t in map(store.thread, _numbers(store)) if _contradicts(t))
    fine = _numbers(store, Decision.ANSWER)[0]
    return (
        Picture("list", "/", 1280, 760),
        Picture("question", f"/question/{odd}", 1210, 720),
        Picture("phone", f"/question/{fine}", 360, 760),
        Picture("dark", f"/question/{fine}", 1210, 720, dark=True),
        Picture("print", f"/question/{fine}", 794, 1123, printed=True),  # A4 at 96 dots an inch
    )


def _numbers(store: Store, decision: Decision | None = None) -> list[int]:
    return [row.thread for row in store.queue(Filters(decision=decision, limit=1000))]


def _contradicts(thread: Any) -> bool:
    readings = [saved.reading for saved in thread.readings]
    return any(reading.conflicts and reading.hazards and reading.gaps for reading in readings)


def take(browser: Any, url: str, picture: Picture, to: Path) -> None:
    """One picture. Raises ValueError for one larger than MOST."""
    context = browser.new_context(
        viewport={"width": picture.width, "height": picture.height},
        color_scheme="dark" if picture.dark else "light",
        reduced_motion="reduce",
    )
    page = context.new_page()
    if picture.printed:
        page.emulate_media(media="print")
    page.goto(url + picture.path)
    page.wait_for_load_state("load")
    page.screenshot(path=to)
    context.close()
    size = to.stat().st_size
    if size > MOST:
        raise ValueError(f"{to}: {size:,} bytes, more than {MOST:,}. Take a smaller window.")
    print(f"{to}: {size:,} bytes")


if __name__ == "__main__":
    main()

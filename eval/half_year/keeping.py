"""The half year put down between two runs: it takes some minutes, and may be gone on with."""

from __future__ import annotations

import json
import shutil
from collections import Counter
from pathlib import Path

from eval.half_year.asking import Asked
from eval.half_year.editor import Editor
from eval.half_year.shop import Shop
from eval.half_year.staff import Wrong
from eval.half_year.weekly import Caught, Week, plain
from triage.store import back_up

SETS = ("pointed_out", "reached", "false", "entered")


def keep_folder(folder: Path, week: int) -> None:
    """Copy store and pack as they are after so many weeks; the copy before goes."""
    copy, old = folder / f"kept-{week}", folder / f"kept-{week - 1}"
    shutil.rmtree(copy, ignore_errors=True)
    shutil.copytree(folder / "pack", copy / "pack")
    back_up(folder / "queue.db", copy / "queue.db")
    shutil.rmtree(old, ignore_errors=True)


def put_back_folder(folder: Path, week: int) -> None:
    """Store and pack as they were after so many weeks: a week cut short leaves nothing behind."""
    shutil.rmtree(folder / "pack", ignore_errors=True)
    for file in folder.glob("queue.db*"):
        file.unlink()
    shutil.copytree(folder / f"kept-{week}" / "pack", folder / "pack")
    shutil.copy(folder / f"kept-{week}" / "queue.db", folder / "queue.db")


def put_down(file: Path, shop: Shop, editor: Editor, found: dict[str, int], weeks: list[Week]) -> None:
    """Write all that lies in neither the store nor the pack."""
    state = {
        "weeks": plain(weeks),
        "found": found,
        "matter": {id: sorted(matters) for id, matters in shop.matter.items()},
        "question": {thread: asked.number for thread, asked in shop.question.items()},
        "said_wrong": {thread: wrong.number for thread, wrong in shop.said_wrong.items()},
        "refusals": editor.refusals,
        **{name: sorted(getattr(editor, name)) for name in SETS},
    }
    file.write_text(json.dumps(state), encoding="utf-8")


def take_up(
    file: Path, shop: Shop, editor: Editor, asked: list[Asked], wrong: list[Wrong]
) -> tuple[dict[str, int], list[Week]]:
    """Put it back as it was; what was found so far, and the weeks done."""
    state = json.loads(file.read_text(encoding="utf-8"))
    shop.matter.update({id: set(matters) for id, matters in state["matter"].items()})
    shop.question.update({int(thread): asked[number - 1] for thread, number in state["question"].items()})
    shop.said_wrong.update({int(thread): wrong[number] for thread, number in state["said_wrong"].items()})
    editor.refusals = Counter(state["refusals"])
    for name in SETS:
        getattr(editor, name).update(state[name])
    weeks = [Week(**(week | {"caught": Caught(**week["caught"])})) for week in state["weeks"]]
    return state["found"], weeks

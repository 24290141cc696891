"""What a shop's own work taught the ranker, in plain files beside its pack: the newest counts, older ones stay."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict
from datetime import date
from pathlib import Path

from triage.matching.features import FEATURES
from triage.matching.rank import RANKER_FILE, Ranker
from triage.pack.atomic import write_files

FOLDER = "learnt"


def versions(root: Path) -> tuple[Path, ...]:
    """The files of a pack, oldest first."""
    return tuple(sorted((root / FOLDER).glob("ranker-[0-9]*.json")))


def load_learnt(root: Path, encoder: str) -> tuple[Ranker | None, str]:
    """The ranker in force, and "" or why what was learned is left aside. None where nothing (usable) was learned."""
    files = versions(root)
    if not files:
        return None, ""
    try:
        data = json.loads(files[-1].read_text(encoding="utf-8"))
        made_for, values = data["for"], data["ranker"]
        ranker = Ranker(tuple(float(weight) for weight in values.pop("weights")), **values)
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        return None, f"{files[-1]} cannot be used ({error}): the shipped weights count; run 'triage learn' again"
    if made_for != _made_for(encoder):
        return None, f"{files[-1]} was learned for another version of the program: run 'triage learn' again"
    return ranker, ""


def keep(root: Path, ranker: Ranker, encoder: str, lessons: int, day: date) -> Path:
    """Write what was learned as the version that counts from now on."""
    files = versions(root)
    number = int(files[-1].stem.rpartition("-")[2]) + 1 if files else 1
    file = root / FOLDER / f"ranker-{number:04}.json"
    told = {"learned": day.isoformat(), "lessons": lessons, "for": _made_for(encoder), "ranker": asdict(ranker)}
    write_files({file: (json.dumps(told, indent=1) + "\n").encode()})
    return file


def go_back(root: Path) -> tuple[Path, Path | None] | None:
    """Take the newest version out of force: where it lies now, and the one that counts (None: the shipped).

    None where nothing was learned.
    """
    files = versions(root)
    if not files:
        return None
    aside = files[-1].replace(files[-1].with_suffix(".json.back"))
    return aside, files[-2] if len(files) > 1 else None


def _made_for(encoder: str) -> dict[str, object]:
    """What the weights belong to: they were moved from the shipped ones, over these features and vectors."""
    shipped = hashlib.sha256(RANKER_FILE.read_bytes()).hexdigest()[:16]
    return {"features": list(FEATURES), "encoder": encoder, "shipped": shipped}

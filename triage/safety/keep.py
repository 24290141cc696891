"""What was learnt of a pack's hazards, kept on disk between runs."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np

from triage.pack import Pack
from triage.safety import fit, wordbag
from triage.safety.fit import Learnt, Lesson, Vectors, learn, lessons
from triage.safety.wordbag import WordBag

SHIPPED = Path(__file__).parent / "learnt"  # of the shipped trade part with the shipped encoder
SETTINGS = [
    *(fit.SHARPNESS, fit.RIDGE, fit.MARKS, fit.WORDS, fit.WORDS_SHARE, fit.DANGER_WEIGHT),
    *(wordbag.FEWEST_WORD, wordbag.FEWEST_PAIR),
]
Encode = Callable[[Sequence[str]], Vectors]
Write = Callable[[Path, Callable[[Path], None]], None]


def lessons_of(pack: Pack) -> list[Lesson]:
    """All that a pack tells of danger and of its opposite."""
    calm = (text for record in pack.calm.values() for text in record.sentences)
    return lessons(pack.hazards, calm, pack.told.values())


def learnt_of(pack: Pack, encode: Encode, tag: str, folder: Path, write: Write) -> Learnt:
    """As shipped, or from the folder, when these very lessons were learnt with this encoder; else fitted anew."""
    told = lessons_of(pack)
    name = f"hazards-{_digest(told, tag)}.npz"
    file = folder / name
    stored = _load(SHIPPED / name) or _load(file)
    if stored is None:
        stored = learn(told, encode([lesson.text for lesson in told]))
        kept = stored
        write(file, lambda temporary: _save(temporary, kept))
    return stored


def _digest(told: Sequence[Lesson], tag: str) -> str:
    """Same sentences, same settings, same encoder: same machine."""
    content = [[lesson.text, *sorted(lesson.hazards)] for lesson in told]
    return hashlib.sha256(json.dumps([tag, SETTINGS, content]).encode()).hexdigest()[:16]


def _load(file: Path) -> Learnt | None:
    try:
        with np.load(file, allow_pickle=False) as data:
            bag = WordBag(tuple(data["words"].tolist()), data["rarity"])
            return Learnt(tuple(data["hazards"].tolist()), data["marks"].astype(np.float32), bag, data["weights"])
    except (OSError, ValueError, KeyError, EOFError):
        return None


def _save(file: Path, learnt: Learnt) -> None:
    with file.open("wb") as out:
        np.savez_compressed(
            out,
            hazards=np.array(learnt.hazards),
            marks=learnt.marks.astype(np.float16),
            words=np.array(learnt.bag.words),
            rarity=learnt.bag.rarity,
            weights=learnt.weights,
        )

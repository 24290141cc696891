"""What was learnt of a pack's hazards, kept on disk between runs."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np

from triage.pack import Pack
from triage.safety.fit import (
    DANGER_WEIGHT,
    MARKS,
    RIDGE,
    SHARPNESS,
    SYMPTOM_WEIGHT,
    Learnt,
    Lesson,
    Vectors,
    learn,
    lessons,
)

SHIPPED = Path(__file__).parent / "learnt"  # of the shipped trade part with the shipped encoder
Encode = Callable[[Sequence[str]], Vectors]
Write = Callable[[Path, Callable[[Path], None]], None]


def learnt_of(pack: Pack, encode: Encode, tag: str, folder: Path, write: Write) -> Learnt:
    """As shipped, or from the folder, when these very lessons were learnt with this encoder; else fitted anew."""
    calm = (text for record in pack.calm.values() for text in record.sentences)
    own_words = ((record.id, text) for record in pack.told.values() for text in record.sentences)
    told = lessons(pack.hazards, pack.symptoms.values(), calm, own_words)
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
    content = [[lesson.text, lesson.sure, *sorted(lesson.hazards)] for lesson in told]
    settings = [tag, SHARPNESS, RIDGE, MARKS, DANGER_WEIGHT, SYMPTOM_WEIGHT]
    return hashlib.sha256(json.dumps([settings, content]).encode()).hexdigest()[:16]


def _load(file: Path) -> Learnt | None:
    try:
        with np.load(file, allow_pickle=False) as data:
            return Learnt(tuple(data["hazards"].tolist()), data["marks"].astype(np.float32), data["weights"])
    except (OSError, ValueError, KeyError, EOFError):
        return None


def _save(file: Path, learnt: Learnt) -> None:
    with file.open("wb") as out:
        np.savez_compressed(out, hazards=np.array(learnt.hazards), marks=learnt.marks, weights=learnt.weights)

"""What was learnt of a pack's hazards, kept on disk between runs."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np

from triage.pack import Pack
from triage.safety.fit import DANGER_WEIGHT, RIDGE, SHARPNESS, Learnt, Lesson, Vectors, learn, lessons

Encode = Callable[[Sequence[str]], Vectors]
Write = Callable[[Path, Callable[[Path], None]], None]


def learnt_of(pack: Pack, encode: Encode, tag: str, folder: Path, write: Write) -> Learnt:
    """From the folder when this very pack was learnt with this encoder before, else fitted and written there."""
    told = lessons(pack.hazards, pack.symptoms.values(), (t for c in pack.calm.values() for t in c.sentences))
    file = folder / f"hazards-{_digest(told, tag)}.npz"
    stored = _load(file)
    if stored is None:
        stored = learn(told, encode([lesson.text for lesson in told]))
        kept = stored
        write(file, lambda temporary: _save(temporary, kept))
    return stored


def _digest(told: Sequence[Lesson], tag: str) -> str:
    """Same sentences, same settings, same encoder: same machine."""
    content = [[lesson.text, *sorted(lesson.hazards)] for lesson in told]
    settings = [tag, SHARPNESS, RIDGE, DANGER_WEIGHT]
    return hashlib.sha256(json.dumps([settings, content]).encode()).hexdigest()[:16]


def _load(file: Path) -> Learnt | None:
    try:
        with np.load(file, allow_pickle=False) as data:
            return Learnt(tuple(data["hazards"].tolist()), data["told"], data["weights"])
    except (OSError, ValueError, KeyError, EOFError):
        return None


def _save(file: Path, learnt: Learnt) -> None:
    with file.open("wb") as out:
        np.savez(out, hazards=np.array(learnt.hazards), told=learnt.told, weights=learnt.weights)

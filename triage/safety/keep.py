"""What was learnt of a pack's hazards, kept on disk between runs."""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from triage.pack import Pack
from triage.safety import fit, wordbag
from triage.safety.conditions import TROUBLE
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
    """All that a pack tells of danger and of its opposite.

    A symptom that no hazard is known by is told as plainly as a danger and is none: a pedal with a dead spot is no
    runaway, a brake that squeals no failing one.
    """
    calm = [text for record in pack.calm.values() for text in record.sentences]
    return lessons(pack.hazards, [*calm, *_harmless_symptoms(pack)], pack.told.values())


def _harmless_symptoms(pack: Pack) -> Iterator[str]:
    conditions = (condition for hazard in pack.hazards.values() for condition in hazard.facts)
    dangerous = {symptom for condition in conditions for symptom in condition.get(TROUBLE, ())}
    for name in (name for name in pack.symptoms if name not in dangerous):
        yield from pack.symptoms[name].examples
        yield from pack.symptoms_told[name].sentences if name in pack.symptoms_told else ()


def learnt_of(pack: Pack, encode: Encode, tag: str, folder: Path, write: Write) -> Learnt:
    """As shipped, or from the folder, when these very lessons were learnt with this encoder; else fitted anew."""
    told, name = lessons_of(pack), weights_name(pack, tag)
    file = folder / name
    stored = _load(SHIPPED / name) or _load(file)
    if stored is None:
        stored = learn(told, encode([lesson.text for lesson in told]))
        kept = stored
        write(file, lambda temporary: _save(temporary, kept))
    return stored


def weights_name(pack: Pack, tag: str) -> str:
    """The file for these very lessons and this encoder."""
    return f"hazards-{_digest(lessons_of(pack), tag)}.npz"


def _digest(told: Sequence[Lesson], tag: str) -> str:
    """Same sentences, same settings, same encoder: same machine."""
    content = [[lesson.text, *sorted(lesson.hazards)] for lesson in told]
    return hashlib.sha256(json.dumps([tag, SETTINGS, content]).encode()).hexdigest()[:16]


def _load(file: Path) -> Learnt | None:
    try:
        with file.open("rb") as source, np.load(source, allow_pickle=False) as data:  # numpy leaves a broken one open
            bag = WordBag(tuple(data["words"].tolist()), data["rarity"])
            return Learnt(tuple(data["hazards"].tolist()), data["marks"].astype(np.float32), bag, data["weights"])
    except (OSError, ValueError, KeyError, EOFError, BadZipFile, zlib.error):
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

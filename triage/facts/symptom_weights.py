"""What was learnt of a pack's symptoms: shipped for the shipped trade part, else learnt once and kept on disk."""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Callable, Sequence
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from triage.facts.symptom_fit import RIDGE, SEEN, VECTOR_SHARE, Encode, learn
from triage.facts.symptom_lessons import Lesson
from triage.facts.symptom_meaning import SHARPNESS, SymptomMeaning
from triage.language import Language

SHIPPED = Path(__file__).parent / "learnt"  # of the shipped trade part with the shipped encoder
FEATURES = 1  # raised when the features of a piece's words change
Write = Callable[[Path, Callable[[Path], None]], None]


def learned(
    ids: Sequence[str],
    taught: Sequence[Lesson],
    language: Language,
    encode: Encode,
    *,
    tag: str,
    folder: Path,
    write: Write,
) -> SymptomMeaning:
    """As shipped, or from the folder, when these very lessons were learnt with this encoder (`tag`); else anew."""
    name = weights_name(ids, taught, tag)
    stored = _load(SHIPPED / name) or _load(folder / name)
    if stored is None:
        stored = kept = learn(ids, taught, language, encode)
        write(folder / name, lambda temporary: _save(temporary, kept))
    return stored


def weights_name(ids: Sequence[str], taught: Sequence[Lesson], tag: str) -> str:
    """Same sentences, same settings, same encoder: same file."""
    settings = [tag, FEATURES, SHARPNESS, VECTOR_SHARE, RIDGE, SEEN, *ids]
    content = [[lesson.text, *sorted(lesson.symptoms)] for lesson in taught]
    return f"symptoms-{hashlib.sha256(json.dumps([settings, content]).encode()).hexdigest()[:16]}.npz"


def _load(file: Path) -> SymptomMeaning | None:
    try:
        with file.open("rb") as source, np.load(source, allow_pickle=False) as data:
            words = {word: row for row, word in enumerate(data["words"].tolist())}
            lessons, by_lesson = data["lessons"].astype(np.float32), data["by_lesson"].astype(np.float32)
            rarity, by_word = data["rarity"].astype(np.float32), data["by_word"].astype(np.float32)
            return SymptomMeaning(tuple(data["ids"].tolist()), lessons, by_lesson, words, rarity, by_word)
    except (OSError, ValueError, KeyError, EOFError, BadZipFile, zlib.error):
        return None


def _save(file: Path, meaning: SymptomMeaning) -> None:
    """Half precision: a third of a thousandth, far below what a threshold can tell apart."""
    names = ("lessons", "by_lesson", "rarity", "by_word")
    halves = {name: getattr(meaning, name).astype(np.float16) for name in names}
    with file.open("wb") as out:
        np.savez_compressed(out, ids=np.array(meaning.ids), words=np.array(list(meaning.words)), **halves)

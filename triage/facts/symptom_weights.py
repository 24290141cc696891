"""The weights of the symptom reading: learned from the pack once, then taken from a file."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np

from triage import __version__
from triage.facts.symptom_meaning import RIDGE, VECTOR_SHARE, Lesson, SymptomMeaning, Vectors
from triage.language import Language

Write = Callable[[Path, Callable[[Path], None]], None]


def learned(
    ids: Sequence[str],
    taught: Sequence[Lesson],
    language: Language,
    encode: Callable[[Sequence[str]], Vectors],
    *,
    tag: str,
    folder: Path,
    write: Write,
) -> SymptomMeaning:
    """The stored weights for these lessons and this encoder, else new ones, stored by `write`.

    `tag` names all that the weights rest on beside the lessons: the encoder, and the pack whose words are read.
    """
    file = folder / f"symptoms-{_key(ids, taught, tag)}.npz"
    try:
        return _load(ids, file)
    except (OSError, ValueError, KeyError, EOFError):
        meaning = SymptomMeaning.learn(ids, taught, language, encode)
        write(file, lambda temporary: _save(temporary, meaning))
        return meaning


def _key(ids: Sequence[str], taught: Sequence[Lesson], tag: str) -> str:
    rests_on = [__version__, tag, VECTOR_SHARE, RIDGE, list(ids), [[lesson.text, lesson.symptom] for lesson in taught]]
    return hashlib.sha256(json.dumps(rests_on).encode()).hexdigest()[:16]


def _load(ids: Sequence[str], file: Path) -> SymptomMeaning:
    with np.load(file, allow_pickle=False) as data:
        words = {word: row for row, word in enumerate(data["words"].tolist())}
        return SymptomMeaning(ids, data["by_vector"], words, data["by_word"])


def _save(file: Path, meaning: SymptomMeaning) -> None:
    with file.open("wb") as out:
        np.savez(out, words=np.array(list(meaning.words)), by_vector=meaning.by_vector, by_word=meaning.by_word)

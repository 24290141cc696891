"""Mend misspelt words against the pack's own vocabulary, and say what was mended."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path

from rapidfuzz import process
from rapidfuzz.distance import OSA

from triage.language.stem import stem

_PREFIXES = ("un", "re", "non", "pre", "over", "mis", "out")
_SUFFIXES = ("s", "ed", "ing", "y", "ly", "ish", "er", "ers", "less", "ful", "ness", "able", "ie")
LONGEST_WORD = 24  # letters; nothing longer is looked up
_ENGLISH_FILE = Path(__file__).parent / "english.txt"


@lru_cache(maxsize=1)
def english() -> frozenset[str]:
    """Common English words, lower case, without apostrophes."""
    return frozenset(_ENGLISH_FILE.read_text(encoding="utf-8").split())


@lru_cache(maxsize=20_000)
def is_derived(word: str) -> bool:
    """Made from an English word by usual beginnings and endings: "unbadged", "wispy"."""
    base = next((word[len(p) :] for p in _PREFIXES if word.startswith(p) and len(word) - len(p) >= 4), word)
    stems = {base, *(base[: -len(e)] for e in _SUFFIXES if base.endswith(e) and len(base) - len(e) >= 3)}
    return any({one, f"{one}e", one[:-1] if one[-1:] == one[-2:-1] else one} & english() for one in stems)


@lru_cache(maxsize=20_000)
def is_compound(word: str, least: int = 3) -> bool:
    """Two English words of `least` letters or more written as one: "boatshed"."""
    return any(word[:cut] in english() and word[cut:] in english() for cut in range(least, len(word) - least + 1))


@lru_cache(maxsize=20_000)
def is_slip(word: str) -> bool:
    """One letter away from an English word with the same first letter; a word too long to be one is none."""
    if len(word) > LONGEST_WORD:
        return False
    near = _english_by_letter().get(word[:1], [])
    return process.extractOne(word, near, scorer=OSA.distance, score_cutoff=1) is not None


@lru_cache(maxsize=1)
def _english_by_letter() -> dict[str, list[str]]:
    return _by_letter(word for word in english() if len(word) >= 4)


class Spelling:
    """Knows the pack's words; suggests one for a word that is neither English nor the pack's."""

    def __init__(self, vocabulary: Iterable[str], typos: dict[str, str], names: Iterable[str]) -> None:
        self._names = frozenset(names)
        self._known = frozenset(vocabulary) | self._names
        self._stems = frozenset(stem(word) for word in self._known)
        self._candidates = _by_letter(word for word in self._known if len(word) >= 5)
        self._short_names = _by_letter(word for word in self._names if len(word) == 4)
        self._typos = typos
        self._cache: dict[str, str] = {}

    def knows(self, word: str) -> bool:
        """True for a word of the pack, an inflection of one, or a word of common English."""
        return word in self._known or word in english() or stem(word) in self._stems

    def is_name(self, word: str) -> bool:
        """True for a word of a vehicle's name in the catalogue."""
        return word in self._names

    def mend(self, word: str) -> str:
        """The word meant, or the word itself. One edit up to seven letters, two from eight; same first letter.

        Four letters are mended to a vehicle's name of four, or to a word of five; facts.names says so of a name.
        """
        if word in self._typos:
            return self._typos[word]
        if not 4 <= len(word) <= LONGEST_WORD or self.knows(word):
            return word
        if len(self._cache) > 20_000:
            self._cache.clear()
        if word not in self._cache:
            self._cache[word] = self._nearest(word)
        return self._cache[word]

    def _nearest(self, word: str) -> str:
        cutoff = 1 if len(word) < 8 else 2
        candidates = self._candidates.get(word[0], [])
        if len(word) == 4:
            candidates = self._short_names.get(word[0], []) + candidates
        found = process.extractOne(word, candidates, scorer=OSA.distance, score_cutoff=cutoff)
        return found[0] if found else word


def _by_letter(words: Iterable[str]) -> dict[str, list[str]]:
    result: dict[str, list[str]] = {}
    for word in sorted(words):
        result.setdefault(word[0], []).append(word)
    return result

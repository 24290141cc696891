"""Flesch reading ease of a text."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

from triage.reply.sentences import sentences

_WORD = re.compile(r"[A-Za-z][A-Za-z'’-]*")


def reading_ease(text: str) -> float | None:
    """206.835 - 1.015 words/sentence - 84.6 syllables/word (Flesch 1948); None for a text without words.

    Syllables are counted by hyphenation patterns (numbers and units do not count as words).
    """
    words = _WORD.findall(text)
    if not words:
        return None
    count = sum(len(sentences(line)) for line in text.splitlines() if _WORD.search(line))
    return round(flesch(len(words), max(1, count), sum(_syllables(word.lower()) for word in words)), 1)


def flesch(words: int, sentences: int, syllables: int) -> float:
    """Flesch reading ease from counts.

    >>> round(flesch(120, 8, 168), 2)
    73.17
    """
    return 206.835 - 1.015 * words / sentences - 84.6 * syllables / words


@lru_cache(maxsize=20_000)
def _syllables(word: str) -> int:
    vowels = len(re.findall(r"[aeiouy]+", word.removesuffix("e")))
    return max(1, vowels, len(_hyphenator().positions(word)) + 1)


@lru_cache(maxsize=1)
def _hyphenator() -> Any:
    import pyphen

    return pyphen.Pyphen(lang="en_US")

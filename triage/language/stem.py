"""Fold the inflections of a word, and nothing more."""

from functools import lru_cache

VOWELS = frozenset("aeiouy")


@lru_cache(maxsize=20_000)
def stem(word: str) -> str:
    """The word without plural, -ed, -ing and final e; derivations stay apart.

    A full stemmer is too strong here: it makes "electric" and "electricity" one word.

    >>> [stem(word) for word in ("batteries", "charging", "charger", "stopped", "tires", "gas")]
    ['battery', 'charg', 'charger', 'stop', 'tir', 'gas']
    """
    if len(word) <= 3:
        return word
    return _without_e(_undouble(_without_ending(word)))


def plural(words: str) -> str:
    """The plural of a noun, told of its last word.

    >>> [plural(words) for words in ("battery", "spark plug", "brushes", "brake shoes", "key switch")]
    ['batteries', 'spark plugs', 'brushes', 'brake shoes', 'key switches']
    """
    if words.endswith("s") and not words.endswith("ss"):
        return words
    if words.endswith("y") and words[-2:-1] not in "aeiou":
        return f"{words[:-1]}ies"
    return f"{words}es" if words.endswith(("ch", "sh", "x", "ss")) else f"{words}s"


def folded(words: str) -> str:
    """The words without their inflections, to compare notes of work.

    >>> folded("batteries replaced") == folded("battery replaced")
    True
    """
    return " ".join(stem(word) for word in words.split())


def _without_ending(word: str) -> str:
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith("ing") and _has_vowel(word[:-3]) and len(word) > 5:
        return word[:-3]
    if word.endswith("ied") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith("ed") and _has_vowel(word[:-2]):
        return word[:-2]
    if word.endswith(("sses", "shes", "ches", "xes")):
        return word[:-2]
    if word.endswith("s") and not word.endswith(("ss", "us", "is")):
        return word[:-1]
    return word


def _undouble(word: str) -> str:
    doubled = len(word) > 3 and word[-1] == word[-2] and word[-1] not in "aeiouslz"
    return word[:-1] if doubled else word


def _without_e(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("e") else word


def _has_vowel(word: str) -> bool:
    return any(letter in VOWELS for letter in word)

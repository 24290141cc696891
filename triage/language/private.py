"""What tells who somebody is, found in a text and put in plain words: names, numbers, places, links."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from triage.language import private_numbers, private_people, private_places
from triage.language.private_found import Found, Particulars

__all__ = ["Found", "Particulars", "find_particulars", "without_particulars"]

MOST_ROUNDS = 20  # what is left out can bring a cue and a word together; far more than was ever needed


def find_particulars(text: str, known: Particulars | None = None) -> tuple[Found, ...]:
    """What stands in the text that tells who somebody is, in order and without overlaps.

    `known` says whom we know by name, and which words of the trade must stay. Rules of language and lists of
    given names, no model: a name that no list has and no word announces is not found.
    """
    known = known or Particulars()
    return tuple(_joined(_all(text, known)))


def without_particulars(text: str, known: Particulars | None = None) -> str:
    """The text with plain words in place of what tells who somebody is; doing it twice changes nothing more.

    >>> without_particulars("Hi Wyn, ring my wife Joan on 555 0123. Order no. 44213. It needs 18x8.50-8 tyres.")
    'Hi, ring my wife on a number. Order number. It needs 18x8.50-8 tyres.'
    """
    for _ in range(MOST_ROUNDS):
        found = find_particulars(text, known)
        if not found:
            return text
        text = _replaced(text, found)
    return text


def _all(text: str, known: Particulars) -> Iterator[Found]:
    yield from private_numbers.find(text, known)
    yield from private_places.find(text, known)
    yield from private_people.find(text, known)


def _joined(found: Iterable[Found]) -> list[Found]:
    """Overlapping finds as one, worded as the longest of them."""
    joined: list[Found] = []
    for one in sorted(found, key=lambda item: (item.start, -item.end)):
        if joined and one.start < joined[-1].end:
            joined[-1] = joined[-1].with_end(max(one.end, joined[-1].end))
        else:
            joined.append(one)
    return joined


def _replaced(text: str, found: Iterable[Found]) -> str:
    parts, at = [], 0
    for one in found:
        parts += [text[at : one.start], one.instead]
        at = one.end
    return "".join([*parts, text[at:]])

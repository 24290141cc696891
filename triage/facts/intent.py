"""What is wanted: to have a fault found, a part named, leave, instructions, a size, to know what it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from triage.facts.candidate import Candidate, words_basis
from triage.language import Document, Mention
from triage.model import Standing

_ORDER = ("other", "identify", "size", "may_i", "which_part", "how_to")
_PROBLEM = "diagnose"
_STRONG_PROBLEM = 2  # tellings of a problem that outweigh a lone "how do I"
# how a question opens -> what it asks for, where no listed phrase says more
_OPENINGS = (
    (
        ("can i", "can we", "could i", "could we", "may i", "should i", "should we", "must i", "must we", "shall i"),
        "may_i",
    ),
    (
        (
            "will it",
            "will they",
            "would it",
            "would they",
            "would the",
            "will a",
            "would a",
            "do i",
            "do we",
            "does it need",
        ),
        "may_i",
    ),
    (
        (
            "is that ok",
            "is that normal",
            "is it ok",
            "is it safe",
            "is it good",
            "is it bad",
            "am i",
            "is it possible",
            "is that",
            "may it",
            "may they",
            "objections",
        ),
        "may_i",
    ),
    (
        (
            "why",
            "is it the",
            "what can be",
            "what could",
            "what else",
            "what would cause",
            "what is broken",
            "what is wrong",
            "whats wrong",
            "correct",
        ),
        "diagnose",
    ),
    (("is there a", "is there any", "is there anything"), "how_to"),
    (("how big", "how tall", "how heavy", "how wide", "how high", "how far", "how fast"), "size"),
    (("how", "where", "which way", "which side", "which wire", "what do i", "when do"), "how_to"),
    (
        ("what does", "what is the meaning", "does a", "do the", "does the", "which of", "who made", "when was"),
        "identify",
    ),
    (("which", "what", "do you have", "do you sell", "have you"), "which_part"),
)


def find(document: Document) -> Iterator[Candidate]:
    """What the last question asks; a told problem outweighs a lone "how do I" or "do you have"."""
    intent, first, last = _asked(document) or _told_problem(document) or _told_only(document) or ("", 0, 0)
    if intent:
        basis = words_basis(document, first, last)
        yield Candidate("intent", intent, first, last, basis=basis, standing=Standing.STATED)


def _asked(document: Document) -> tuple[str, int, int] | None:
    """Intent and place of the last thing asked for."""
    problems = len(_mentions(document, (_PROBLEM,)))
    for first, last in reversed(_sentences(document)):
        found = _by_phrase(document, first, last) or _by_opening(document, first, last)
        if found is None:
            continue
        outweighed = found[0] in ("how_to", "which_part") and problems >= _STRONG_PROBLEM
        if not outweighed or _is_question(document, last):
            return found
    return None


def _by_phrase(document: Document, first: int, last: int) -> tuple[str, int, int] | None:
    inside = [m for m in document.between("intent", first, last - 1) if m.entry.key in _ORDER]
    if not inside:
        return None
    best = min(inside, key=lambda mention: (_ORDER.index(mention.entry.key), mention.first))
    return best.entry.key, best.first, best.last


def _by_opening(document: Document, first: int, last: int) -> tuple[str, int, int] | None:
    """The way a question opens, at the sentence's start or after a comma."""
    if not _is_question(document, last):
        return None
    starts = [first] + [
        i + 1 for i in range(first, last - 1) if document.norm(i) in (",", "but", "so", "and", "or", ":")
    ]
    for start in reversed(starts):
        words = " ".join(document.norm(i) for i in range(start, min(start + 4, last)))
        for openings, intent in _OPENINGS:
            if words.startswith(openings) and any(words == o or words.startswith(f"{o} ") for o in openings):
                return intent, start, min(start + 2, last)
    return None


def _is_question(document: Document, last: int) -> bool:
    return document.norm(last - 1) == "?"


def _told_problem(document: Document) -> tuple[str, int, int] | None:
    found = _mentions(document, (_PROBLEM,))
    return (_PROBLEM, found[0].first, found[0].last) if found else None


def _told_only(document: Document) -> tuple[str, int, int] | None:
    """A vehicle and a part told about, and nothing asked: the asker expects us to see what is wrong."""
    names, parts = document.of_kind("name"), document.of_kind("part")
    readings = [quantity for quantity in document.quantities[:50] if quantity.unit]
    if (names and (parts or readings)) or (parts and readings):
        place = (names or parts)[0]
        return _PROBLEM, place.first, place.last
    return None


def _mentions(document: Document, keys: Sequence[str]) -> list[Mention]:
    return [mention for mention in document.of_kind("intent") if mention.entry.key in keys]


def _sentences(document: Document) -> list[tuple[int, int]]:
    """Token ranges of the sentences, in order."""
    ranges: list[tuple[int, int]] = []
    first = 0
    for index in range(1, len(document.tokens) + 1):
        if index == len(document.tokens) or not document.same_sentence(first, index):
            ranges.append((first, index))
            first = index
    return ranges

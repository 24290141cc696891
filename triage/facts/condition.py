"""Under which circumstance something was read or shows: "at rest", "when I floor it", "uphill"."""

from __future__ import annotations

from collections.abc import Sequence

from triage.language import Document
from triage.language.cues import Cue

_REACH = 6
_DIRECT = 1  # words between a number and the condition that makes it a reading


def condition_near(document: Document, first: int, last: int) -> str:
    """The circumstance told in the same sentence, in the asker's words.

    Several readings in one sentence keep to one order: where a circumstance opens the sentence's readings, each reading
    has the one before it, else the one after it.
    """
    before, after = _before(document, first), _after(document, last)
    chosen = before or after if _leads(document, first) else after or before
    return document.words(chosen.first, chosen.last) if chosen else ""


def has_condition(document: Document, last: int) -> bool:
    """A circumstance follows at once: "41 when I floor it"."""
    cue = _after(document, last)
    return cue is not None and cue.first - last <= _DIRECT


def _before(document: Document, first: int) -> Cue | None:
    cues = document.scopes.near("condition", first, first, _REACH)
    near = [c for c in cues if c.last <= first and document.same_sentence(c.first, first)]
    near = [c for c in near if not _number_between(document, c.last, first) and not _is_of_earlier(document, c)]
    return near[-1] if near else None


def _is_of_earlier(document: Document, cue: Cue) -> bool:
    """ "61 uphill, comes back to 74": the circumstance follows another number at once and a mark parts it from here."""
    earlier = any(q.last == cue.first for q in document.quantities_from(cue.first - 4, 3))
    return earlier and document.norm(cue.last) in (",", ";", "and", "then", "but")


def _after(document: Document, last: int) -> Cue | None:
    cues = document.scopes.near("condition", 0, last, 0, _REACH)
    near = [c for c in cues if c.first >= last and document.same_sentence(c.first, last - 1)]
    near = [c for c in near if not _number_between(document, last, c.first) and not _is_of_later(document, c)]
    return _longest_first(near)


def _is_of_later(document: Document, cue: Cue) -> bool:
    """ "6.4 all round, under load two fall to 5.2": parted from the number before, and another follows."""
    later = document.quantities_from(cue.last, _REACH)
    return document.norm(cue.first - 1) == "," and any(
        q.decimal and document.same_sentence(q.first, cue.first) and not _mark_between(document, cue.last, q.first)
        for q in later
    )


def _mark_between(document: Document, first: int, last: int) -> bool:
    return any(document.tokens[index].kind == "mark" for index in range(first, last))


def _longest_first(cues: Sequence[Cue]) -> Cue | None:
    return min(cues, key=lambda cue: (cue.first, -cue.last)) if cues else None


def _leads(document: Document, first: int) -> bool:
    """The nearest circumstance before this number has no number before it in the sentence, and none follows at once."""
    cue = _before(document, first)
    if cue is None:
        return False
    numbers = document.quantities_from(cue.first - 2 * _REACH, 2 * _REACH - 1)
    earlier = [q for q in numbers if q.last <= cue.first and document.same_sentence(q.first, cue.first)]
    return not earlier or document.norm(cue.first - 1) == ","


def _number_between(document: Document, first: int, last: int) -> bool:
    return any(document.tokens[index].kind == "number" for index in range(first, last))
